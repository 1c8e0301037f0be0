"""How a search is divided: parts of the seconds asked for, sizes, and when enough is enough."""

# The step of a first, coarse floor in steps of the brief.
COARSE_STEPS = 3
# Positions of the first floor, and up to how many the careful one is chosen at once.
FEW_POSITIONS = 600
SOON_POSITIONS = 375
# Work that even the smallest budget may do: well under a second.
LEAST_EFFORT = 0.2
# Seconds that a first layout gets at least where positions are many.
FIRST_SECONDS = 3.0
# Parts of the seconds asked for: for a first layout, also where a careful floor is there soon, and
# at most for filling one careful floor; and for setting goods out anew where it breaks wishes, and
# with less than which that is not begun on a careful floor.
FIRST_SHARE = 0.1
SOON_SHARE = 0.01
FILLING_SHARE = 0.15
WISHES_SHARE = 0.35
LEAST_WISHES_SHARE = 0.05
# The part of the seconds asked for in which parts of a careful floor are placed anew.
BETTER_SHARE = 0.05
# A floor quickly filled that shows less than this part of the best is given up.
HOPELESS = 0.98
# On large floors no other is looked for once this part of all that is wanted is shown.
NEARLY_ALL = 0.995
# From this gap on a floor of which so large a part was gained is bettered again, for a part of
# what is left.
GAINFUL = 0.002
FAR = 0.01
AGAIN_SHARE = 0.4
# The part of the seconds asked for that a divisible bound may cost for later stages to have theirs.
BOUND_SHARE = 0.25
# The part of what is left in which other floors of few positions are filled, once nothing is left
# to be found on the best one.
OTHERS_SHARE = 0.8
# The part of the seconds asked for, beyond them, in which goods are chosen anew for the budget.
PAID_SHARE = 0.5
# The same for a further search, which asks for few seconds.
PAID_AGAIN_SHARE = 1.0
SHORT_EPS = 1e-4
