package sheet

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// cellFormat is what a cell's format tells of its value.
type cellFormat struct {
	sections []section // of its number format; none for General
	struck   bool      // its letters are struck out
}

// formats knows the formats of a book's cells by style, and writes dates as
// their cells show them.
type formats struct {
	file     *excelize.File
	known    map[int]cellFormat
	scratch  *excelize.File // a book of its own: showing a value must not change the one that is read
	styles   map[int]int    // style of the book -> style of the scratch book
	date1904 bool
}

func (fs *formats) of(style int) cellFormat {
	if f, ok := fs.known[style]; ok {
		return f
	}
	f := cellFormat{}
	if s, err := fs.file.GetStyle(style); err == nil {
		f.struck = s.Font != nil && s.Font.Strike
		switch {
		case s.CustomNumFmt != nil:
			f.sections = readFormat(*s.CustomNumFmt)
		case isDateID(s.NumFmt):
			f.sections = []section{{date: true}}
		case builtIn[s.NumFmt] != "":
			f.sections = readFormat(builtIn[s.NumFmt])
		}
	}
	fs.known[style] = f
	return f
}

// isDateID reports whether a built-in number format shows a date or a time.
//
// Source: ECMA-376 part 1, 18.8.30 numFmt (14-22 and 45-47; 27-36 and 50-58
// are dates in the East Asian editions).
func isDateID(id int) bool {
	return id >= 14 && id <= 22 || id >= 27 && id <= 36 || id >= 45 && id <= 47 || id >= 50 && id <= 58
}

// builtIn are the number formats without a code in the file that show a number in
// another way than its digits. Those of amounts have the currency of whoever reads.
//
// Source: ECMA-376 part 1, 18.8.30 numFmt
var builtIn = map[int]string{1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?", 13: "# ??/??",
	37: "#,##0", 38: "#,##0", 39: "#,##0.00", 40: "#,##0.00", 48: "##0.0E+0"}

// show returns a serial as the cell shows it.
func (fs *formats) show(style int, serial float64) string {
	if serial < 0 || serial > lastSerial {
		return shortest(serial) // no date; the program shows ####
	}
	if shown, ok := fs.format(style, serial); ok {
		return shown
	}
	return dateOf(serial, fs.date1904).Format("2006-01-02")
}

func (fs *formats) format(style int, serial float64) (string, bool) {
	const name, cell = "Sheet1", "A1"
	if fs.scratch == nil {
		fs.scratch = excelize.NewFile(excelize.Options{ShortDatePattern: "m/d/yyyy"})
		fs.styles = map[int]int{}
		if err := fs.scratch.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &fs.date1904}); err != nil {
			return "", false
		}
	}
	id, known := fs.styles[style]
	if !known {
		s, err := fs.file.GetStyle(style)
		if err != nil {
			return "", false
		}
		id, err = fs.scratch.NewStyle(&excelize.Style{NumFmt: s.NumFmt, CustomNumFmt: s.CustomNumFmt})
		if err != nil {
			return "", false
		}
		fs.styles[style] = id
	}
	if fs.scratch.SetCellFloat(name, cell, serial, -1, 64) != nil || fs.scratch.SetCellStyle(name, cell, cell, id) != nil {
		return "", false
	}
	shown, err := fs.scratch.GetCellValue(name, cell)
	return shown, err == nil && shown != ""
}

// lastSerial is the end of 9999-12-31 counted from 1900.
const lastSerial = 2_958_466

// dateOf returns the time that a serial stands for.
//
// Source: ECMA-376 part 1, 18.17.4.1: serial 1 is 1900-01-01 and 1900 counts
// as a leap year, so from 61 on the base is 1899-12-30; or serial 0 is
// 1904-01-01.
func dateOf(serial float64, date1904 bool) time.Time {
	base := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case date1904:
		base = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case serial < 60:
		base = base.AddDate(0, 0, 1)
	}
	days := int(serial)
	seconds := int((serial-float64(days))*86400 + 0.5)
	return base.AddDate(0, 0, days).Add(time.Duration(seconds) * time.Second)
}

// serialOf is the inverse of dateOf for dates written as text in a cell of
// type date.
func serialOf(text string, date1904 bool) (float64, bool) {
	for _, layout := range []string{"2006-01-02", "2006-01-02T15:04:05", "2006-01-02T15:04:05.999", time.RFC3339Nano} {
		t, err := time.Parse(layout, text)
		if err != nil {
			continue
		}
		base := dateOf(0, true)
		if !date1904 {
			base = base.AddDate(0, 0, -1462)
		}
		return t.Sub(base).Hours() / 24, true
	}
	return 0, false
}

// shortest writes a number in the 15 significant digits that spreadsheet
// programs keep, without the noise of binary fractions behind them.
func shortest(f float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(f, 'g', 15, 64), 64)
	if err != nil {
		rounded = f
	}
	if abs := max(rounded, -rounded); abs != 0 && (abs < 1e-7 || abs >= 1e15) {
		return strconv.FormatFloat(rounded, 'g', -1, 64)
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// parseNumber reads a stored number; words, hexadecimal and infinities that Go
// would take are none.
func parseNumber(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "" || strings.Trim(s, "0123456789+-.eE") != "" {
		return 0, false
	}
	f, err := strconv.ParseFloat(s, 64)
	return f, err == nil
}

// TypedAsDate returns the best guess at what was typed into a cell that the
// spreadsheet program turned into a date: "3-6" for the 6th of March, "1/2"
// for the 2nd of January because 1/2 is a fraction of the trade, "1/32" for
// January 1932, "3:06" for a time of day. It is "" for other cells.
func (c Cell) TypedAsDate() string {
	if c.Kind != Date || c.Number < 0 || c.Number > lastSerial {
		return ""
	}
	t := dateOf(c.Number, c.date1904)
	month := int(t.Month())
	switch {
	case c.Number < 1:
		return fmt.Sprintf("%d:%02d", t.Hour(), t.Minute())
	case t.Day() == 1 && monthYear.MatchString(c.Text):
		return dashOrSlash(month, t.Year()%100)
	}
	return dashOrSlash(month, t.Day())
}

// monthYear matches how a month of a year is shown: "Jan-32".
var monthYear = regexp.MustCompile(`^[A-Za-z]{3}-[0-9]{2}$`)

// dashOrSlash writes two typed numbers as a fraction when they are a reduced
// one of halves to sixty-fourths, else as feet and inches.
func dashOrSlash(a, b int) string {
	for den := 2; den <= 64; den *= 2 {
		if b == den && a < b && a%2 == 1 {
			return fmt.Sprintf("%d/%d", a, b)
		}
	}
	return fmt.Sprintf("%d-%d", a, b)
}
