package measure

import (
	"math"
	"regexp"
	"time"
)

// Date is a calendar day, counted in days from 1970-01-01.
type Date int32

const (
	secondsPerDay = 24 * 60 * 60
	isoDate       = "2006-01-02"
	writeDate     = "write year-month-day, such as 2026-11-25"
)

// numericDate fits dates whose order of day and month cannot be told.
var numericDate = regexp.MustCompile(`^\d{1,2}[./-]\d{1,2}[./-](?:\d{2}|\d{4})$`)

// ParseDate returns the day that s writes as year-month-day (2026-11-25, ISO
// 8601). All other forms are refused with a *FormError, because 3/4/26 is one
// day to one reader and another to the next.
func ParseDate(s string) (Date, error) {
	text := plain(s)
	t, err := time.Parse(isoDate, text)
	switch {
	case err == nil && t.Year() > 0:
		return Date(t.Unix() / secondsPerDay), nil
	case text == "":
		return 0, wrong(s, "is blank", writeDate)
	case numericDate.MatchString(text):
		return 0, wrong(s, "is ambiguous: day and month cannot be told apart", writeDate)
	default:
		return 0, wrong(s, "is not a date", writeDate)
	}
}

// String returns the day as year-month-day (ISO 8601).
func (d Date) String() string {
	return time.Unix(int64(d)*secondsPerDay, 0).UTC().Format(isoDate)
}

// Worksheet serial numbers of days.
const (
	serial1970     = 25_569    // 1970-01-01 where 1900-01-01 is 1
	serial1970Mac  = 24_107    // 1970-01-01 where 1904-01-01 is 0
	lastSerial     = 2_958_465 // 9999-12-31 where 1900-01-01 is 1
	phantomLeapDay = 60        // 1900-02-29, which worksheets have and calendars have not
)

// DateFromSerial returns the day that a worksheet's date number stands for; a
// time of day in its decimals is dropped. Numbers count days from 1900-01-01,
// which is 1, with a 29 February 1900 that never was; in a workbook with the
// 1904 date system, from 1904-01-01, which is 0. Numbers that are no day up to
// the year 9999 are refused with a *FormError.
func DateFromSerial(serial float64, date1904 bool) (Date, error) {
	day := math.Floor(serial)
	switch {
	case date1904 && day >= 0 && day <= lastSerial-serial1970+serial1970Mac:
		return Date(day) - serial1970Mac, nil
	case date1904:
	case day >= 1 && day < phantomLeapDay:
		return Date(day) - serial1970 + 1, nil
	case day > phantomLeapDay && day <= lastSerial:
		return Date(day) - serial1970, nil
	}
	return 0, wrong(number(serial), "is not the number of a date", writeDate)
}
