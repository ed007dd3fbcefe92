"""What cloth is sold as, counted: 1 strip, 2 fat quarters."""


def name_form(form: str, count: float) -> str:
    """Return the name of a form of cloth as it stands after a count.

    Examples
    --------
    >>> name_form("strips", 1), name_form("strips", 2), name_form("fat quarter", 1), name_form("fat quarter", 2)
    ('strip', 'strips', 'fat quarter', 'fat quarters')
    """
    one = form.removesuffix("s")
    return one if count == 1 else f"{one}s"
