"""The thresholds of all warnings, each with its reason.

Each is well outside the values of real clubs, and well inside the values that a mistake gives.
Reasons without a source are common practice.
"""

# Shares and rates a year.
HULL_RATE = 0.2  # premiums are 1 to 5 % of the agreed value; "1.2" for 1.2 % is refused already
TAX = 0.3  # the highest standard rate of the European Union is 27 %, Hungary's (from memory)
SELLING_COST = 0.3  # a broker takes 5 to 10 %
VALUE_CHANGE = 0.25  # new airplanes lose about a tenth in their worst year
VALUE_TAX = 0.1  # taxes on the value of an airplane are 0.5 to 4 % a year (from memory)
REPAIRS_GROWTH = 0.5  # at 50 % a year, repairs are 57 times as dear after ten years
APR = 0.36  # the limit that many states of the USA set for small loans (from memory)
RATE_ABOVE_INFLATION = 0.25  # discount less inflation: no reserve earns a quarter in real terms
RATE_BELOW_INFLATION = 0.1  # no reserve loses a tenth of its real worth each year
FUEL_ABOVE_INFLATION = 0.2  # for a whole horizon, not for one bad year

# The airplane's hours.
LEAST_HOURS = 12.0  # an hour a month; below it the hours look like those of one month
HOURS_A_MEMBER = 1.0  # a year; members who fly less than an hour on average keep no airplane
LOST_SHARE = 0.5  # no club keeps an airplane that is grounded more often than not
CHANGE_SHARE = 0.9  # "added hours" of nearly all of today's look like the new total

# What an hour, a year and a month cost, against the fuel of one hour.
HOURLY_COSTS_IN_FUEL = 3.0  # oil, engine reserve and the rest are each about or below the fuel
HANGAR_IN_FUEL_HOURS = 10.0  # a year's hangar costs 15 to 90 hours of fuel, a month's 1 to 8
DUES_TO_COSTS = 4.0  # a year's dues are 0.3 to 2.5 times the airplane's costs
RAISE_SHARE = 0.9  # an "increase" of nearly all of today's dues or rate looks like the new sum

# Insurance and prices: by which factor two sums may differ, in either direction.
AGREED_TIMES = 2.5  # owners keep the agreed value near the market value
INHERITED_TIMES = 1.5  # narrower: today's policy cannot fit another airplane of another value
SALE_TIMES = 3.0  # the sale price and the value are two estimates of the same sum
QUOTE_TIMES = 4.0  # a quote above four times the range, or below a quarter of it

# Time away.
WEEKS_DOWN = 30.0  # a complete panel takes 6 to 20 weeks; nine weeks written as days are 63
LEAD_WEEKS = 60.0  # equipment rarely takes more than a year to arrive
LEAST_DAYS = 14.0  # from 14 on, a range of multiples of 7 looks like whole weeks written as days
DAYS_IN_A_YEAR = 365.25  # the Julian year: a mean over leap years
STATUS_YEARS = 2  # between the decision and the status date; more is a year mistyped
LEDGER_YEARS = 5  # between a document and as_of; older prices say nothing about today's

# Units of measure: gallons, pounds and inches, or litres, kilograms and millimetres.
MOST_GALLONS_AN_HOUR = 30.0  # singles burn 4 to 20, a light twin up to 28; 30 litres are 8 gallons
LEAST_LITRES_AN_HOUR = 7.5  # a motor glider burns 8; 7.5 gallons are 28 litres
LEAST_HOURS_OF_FUEL, MOST_HOURS_OF_FUEL = 2.0, 14.0  # tanks hold 3 to 10 hours
LEAST_WEIGHT_US = 1000.0  # pounds, fully loaded; light-sport airplanes weigh 1,320
MOST_WEIGHT_METRIC = 2000.0  # kilograms; singles weigh up to 1,970
MOST_ARM_US = 500.0  # inches: more than 12 metres from the datum
LEAST_ARM_METRIC = 250.0  # millimetres: no seat or tank would be a foot from the datum
# What fuel costs, in currencies that are worth about a dollar (half to two): aviation gasoline is
# 5 to 12 a gallon, 1.3 to 3.5 a litre.
LIKE_A_DOLLAR = ("USD", "EUR", "GBP", "CHF", "CAD", "AUD", "NZD")
LEAST_A_GALLON, MOST_A_LITRE = 2.5, 5.0

MOST_NAMED = 10  # placeholders named one by one; the rest is counted
