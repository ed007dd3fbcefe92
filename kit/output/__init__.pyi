from . import pictures as pictures
from . import tables as tables
