"""The pattern tested before it is sold: forms for testers, their findings read back, errata between two editions."""
