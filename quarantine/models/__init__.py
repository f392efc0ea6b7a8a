"""The nouns of quarantine."""

from quarantine.models.entries import Admission as Admission
from quarantine.models.entries import Stocking as Stocking
from quarantine.models.holds import Hold as Hold
from quarantine.models.holds import HoldLift as HoldLift
from quarantine.models.kits import Kit as Kit
from quarantine.models.kits import KitCleaning as KitCleaning
from quarantine.models.kits import KitLabel as KitLabel
from quarantine.models.kits import KitUse as KitUse
from quarantine.models.lots import Consignment as Consignment
from quarantine.models.lots import CountChange as CountChange
from quarantine.models.lots import Lot as Lot
from quarantine.models.lots import LotParent as LotParent
from quarantine.models.resets import ResetStep as ResetStep
from quarantine.models.resets import TankReset as TankReset
from quarantine.models.species import Species as Species
from quarantine.models.species import SpeciesSheet as SpeciesSheet
from quarantine.models.species import Supplier as Supplier
