// Package measure holds the quantities of the trade as integers: lengths,
// areas, volumes, money and rates. Sums of integers are exact, so the same
// schedule gives the same estimate on every machine, and totals foot.
package measure

// Length is a length in nanometers. One inch is 25,400,000 nm (exactly, by the
// definition of the international inch) and 1/64 in is 396,875 nm, so inch
// fractions and millimeters are both exact.
type Length int64

// Area is an area in square micrometers; 1 in² is 645,160,000 µm².
type Area int64

// Volume is a volume in nanoliters; 1 in³ is 16,387,064 nL.
type Volume int64

// Money is an amount in whole cents of the job's currency.
type Money int64

// UnitPrice is a price for one unit in hundredths of a cent.
type UnitPrice int64

// Rate is a dimensionless ratio in parts per million: 10 % is 100,000.
type Rate int64

// Named lengths.
const (
	Millimeter  Length = 1_000_000
	Inch        Length = 25_400_000
	Foot        Length = 12 * Inch
	SixtyFourth Length = Inch / 64
)

// Named areas and volumes.
const (
	SquareFoot  Area   = 144 * 645_160_000
	SquareMeter Area   = 1_000_000_000_000
	CubicInch   Volume = 16_387_064
	Millilitre  Volume = 1_000_000
)

// One is the rate 100 %.
const One Rate = 1_000_000

// MaxMoney is the largest amount that is read: no opening, pack or line costs more, so
// that sums of a job stay far from the end of an integer.
const MaxMoney Money = 100_000_000_00

// pricesPerCent is how many units of UnitPrice make one cent.
const pricesPerCent = 100
