"""How laws are tried on examples that are drawn, whatever else the machine does meanwhile."""

from hypothesis import HealthCheck

WITHOUT_HASTE = [HealthCheck.too_slow]
"""How long drawing takes says more about what else the machine does than about the law."""

ON_ONE_FOLDER = [*WITHOUT_HASTE, HealthCheck.function_scoped_fixture]
"""For laws whose examples may all go into one database: none of them looks at what others left."""
