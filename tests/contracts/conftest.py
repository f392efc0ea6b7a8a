from tests.contracts.standing import act as act
from tests.contracts.standing import noon as noon
from tests.contracts.standing import standing_house as standing_house
