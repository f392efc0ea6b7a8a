"""What quarantine plugs into the floors below: every point of contact is in this folder.

One file for each subject: add its line here, in the order of the alphabet.
"""

from quarantine.contributions import animals as animals
from quarantine.contributions import equipment as equipment
from quarantine.contributions import gates as gates
from quarantine.contributions import health as health
from quarantine.contributions import records as records
from quarantine.contributions import stays as stays
from quarantine.contributions import tracing as tracing
from quarantine.contributions import treatment as treatment
