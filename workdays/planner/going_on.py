"""How long the search goes on from a published plan, for the rest of its day."""

from workdays.planner.solve import Limit

# Within five seconds of one core for sixty people; it begins with a plan that holds already, and
# neither proof nor bound is worth the time of those who stand at the gate. Colder than a search
# from nothing: a hot one loses more of the plan that it begins with than so few tries bring back.
# The better of two, since what chance takes from the published plan differs by some per cent.
REST_OF_DAY = Limit(rounds=200_000, proof=0, bound=False, cooling=(0.4, 1.3), searches=2)
