// Shows only the choices a pattern needs, and writes the rule they make into its field.
(function () {
  "use strict";
  const form = document.querySelector("form.sheet");
  if (!form) return;
  const needs = { WEEKLY: "days", EVERY: "every", MONTHLY: "day_of_month" };
  const rule = form.elements.namedItem("rule");
  const value = (name) => (form.querySelector(`[name="${name}"]:checked`) || {}).value;

  function written(pattern) {
    const number = (name) => Number(form.elements.namedItem(name).value) || 1;
    const days = [...form.querySelectorAll('[name="days"]:checked')].map((each) => each.value);
    const end = number("day_of_month");
    const ends = Array.from({ length: Math.max(end - 27, 0) }, (_, step) => 28 + step).join(",");
    return {
      DAILY: "FREQ=DAILY",
      WEEKDAYS: "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR",
      WEEKLY: `FREQ=WEEKLY;BYDAY=${days.join(",")}`,
      EVERY: `FREQ=DAILY;INTERVAL=${number("every")}`,
      MONTHLY: end > 28 ? `FREQ=MONTHLY;BYMONTHDAY=${ends};BYSETPOS=-1` : `FREQ=MONTHLY;BYMONTHDAY=${end}`,
    }[pattern];
  }

  function show(event) {
    const pattern = value("pattern");
    for (const [of, name] of Object.entries(needs)) {
      const row = form.querySelector(`[name="${name}"]`).closest(".row");
      row.style.display = of === pattern ? "" : "none";
    }
    const isTouched = event ? event.target !== rule : !rule.value;
    if (isTouched && written(pattern)) rule.value = written(pattern);
  }

  form.addEventListener("input", (event) => {
    if (event.target === rule) form.querySelector('[name="pattern"][value="OWN"]').checked = true;
    show(event);
  });
  show();
})();
