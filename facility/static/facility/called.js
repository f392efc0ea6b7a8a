// What the worker does with a push: shows it, even while no page is open; a tap opens the alert.
"use strict";
self.addEventListener("push", (event) => {
  const told = event.data?.json() ?? { title: "Penstock", text: "There is an alert.", url: "/alerts/" };
  // The same message under the same tag replaces itself: sent twice, it is shown once.
  event.waitUntil(self.registration.showNotification(told.title, {
    body: told.text,
    tag: told.id,
    requireInteraction: told.level === 1,
    data: { url: told.url },
  }));
});
self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(opened(event.notification.data?.url ?? "/alerts/"));
});

async function opened(path) {
  const url = new URL(path, self.location.origin);
  if (url.origin !== self.location.origin) return;
  const [open] = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  if (!open) return void await self.clients.openWindow(url.href);
  await open.focus();
  await open.navigate(url.href);
}
