"""The nouns of the tanks."""

from tanks.models.alarms import AlarmRule as AlarmRule
from tanks.models.alarms import CorrectiveAction as CorrectiveAction
from tanks.models.alarms import ValveLoan as ValveLoan
from tanks.models.changes import Feeding as Feeding
from tanks.models.changes import Incident as Incident
from tanks.models.changes import Seeding as Seeding
from tanks.models.changes import WaterChange as WaterChange
from tanks.models.cycles import Certificate as Certificate
from tanks.models.cycles import Challenge as Challenge
from tanks.models.cycles import Cycle as Cycle
from tanks.models.cycles import Ramp as Ramp
from tanks.models.cycles import Verdict as Verdict
from tanks.models.devices import Device as Device
from tanks.models.devices import Switch as Switch
from tanks.models.doses import Dose as Dose
from tanks.models.doses import Product as Product
from tanks.models.forecasts import Forecast as Forecast
from tanks.models.policies import Limit as Limit
from tanks.models.policies import Policy as Policy
from tanks.models.readings import Method as Method
from tanks.models.readings import Reading as Reading
from tanks.models.vessels import Connection as Connection
from tanks.models.vessels import Label as Label
from tanks.models.vessels import Vessel as Vessel
from tanks.models.vessels import Volume as Volume
