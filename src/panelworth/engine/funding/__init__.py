"""How it is paid: raises, the reserve and its floor, members' bills."""
