"""Who does what in which order: a day's tasks shared out among those who are on. Pure."""

from facility.rules.assignment.assign import assign as assign
from facility.rules.assignment.assign import shared_out as shared_out
from facility.rules.assignment.following import follow as follow
from facility.rules.assignment.terms import Hand as Hand
from facility.rules.assignment.terms import Left as Left
from facility.rules.assignment.terms import Piece as Piece
from facility.rules.assignment.terms import Plan as Plan
from facility.rules.assignment.terms import Stop as Stop
from facility.rules.assignment.wishes import Wish as Wish
from facility.rules.assignment.wishes import given as given
from facility.rules.assignment.wishes import kept as kept
from facility.rules.assignment.wishes import nudged as nudged
from facility.rules.assignment.wishes import placed as placed
