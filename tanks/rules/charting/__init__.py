"""A start-up drawn over one time axis: what was done, what was read, what is to be expected."""

from tanks.rules.charting.drawing import Act as Act
from tanks.rules.charting.drawing import Drawing as Drawing
from tanks.rules.charting.drawing import FirstPass as FirstPass
from tanks.rules.charting.drawing import Mark as Mark
from tanks.rules.charting.drawing import Outlook as Outlook
from tanks.rules.charting.frame import Spec as Spec
from tanks.rules.charting.inks import INKS as INKS
from tanks.rules.charting.inks import Theme as Theme
from tanks.rules.charting.sheet import KEPT_KEY as KEPT_KEY
from tanks.rules.charting.sheet import KEY as KEY
from tanks.rules.charting.sheet import WIDTHS_PX as WIDTHS_PX
from tanks.rules.charting.sheet import nearest_width_px as nearest_width_px
from tanks.rules.charting.sheet import spec as spec
