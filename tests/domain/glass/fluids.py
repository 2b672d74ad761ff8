"""What CoolProp says of a fluid, for the tests that hold our figures to it."""


def of_fluid(*asked: object) -> float:
    """A property as CoolProp's `PropsSI` names and gives it, in SI units.

    It takes two seconds to load, and each process of the tests lists the files that ask.
    """
    from CoolProp.CoolProp import PropsSI

    return PropsSI(*asked)
