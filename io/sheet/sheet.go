package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
)

// Book is a workbook, or a CSV file as a book of one unnamed sheet.
type Book struct {
	File     string // base name
	Sheets   []*Sheet
	Date1904 bool // serials of dates count from 1904 instead of 1900
}

// Sheet is one worksheet's cells.
//
// Rows[i] is row i+1 of a worksheet, nil when blank; for a CSV file it is one
// record, whose first physical line stands in its cells' places.
type Sheet struct {
	Name       string // "" for a CSV file
	File       string // base name
	Rows       [][]Cell
	HiddenRows map[int]bool // row numbers from 1; of a worksheet's rows, those with filled cells
	HiddenCols map[int]bool // column numbers from 1
	Merges     []Area
	Hidden     bool // the sheet itself is hidden
	Skipped    bool // nobody asked for it: Rows were not read

	divider rune // of the fields of a CSV file
}

// Area is a rectangle of cells; rows and columns count from 1 and both ends
// belong to it.
type Area struct{ Top, Left, Bottom, Right int }

// String returns the area as a reference: "C5:D6".
func (a Area) String() string {
	return estimate.CellName(a.Top, a.Left) + ":" + estimate.CellName(a.Bottom, a.Right)
}

// Limits of what is read. A schedule of 30,000 openings is far inside; a file
// built to fill the memory is not.
const (
	MaxFile     = 50 << 20  // bytes of a file that is not a workbook
	MaxWorkbook = 512 << 20 // bytes of a workbook: of it only the parts that are read are held
	MaxParts    = 4_000     // parts of a workbook
	maxUnpacked = 256 << 20 // bytes of the parts that are read through
	maxRead     = 128 << 20 // bytes of the parts that are read
	maxTexts    = 64 << 20  // bytes of the texts of a book's cells
	maxFormats  = 400_000   // elements of a workbook's list of cell formats
	maxFormat   = 4_096     // bytes of a number format
	maxCells    = 500_000   // filled cells of a book
	maxGrid     = 1_500_000 // cells of a book, blanks between filled ones included
	maxCols     = 512       // columns read of a sheet
	maxRows     = 1_048_576 // rows of a worksheet
	maxWidth    = 16_384    // columns of a worksheet
	maxGap      = 500       // blank rows that end a worksheet
	maxStrings  = 1_000_000 // texts in a workbook's common store
	maxNesting  = 100       // elements of XML inside each other
	maxMerges   = 50_000    // merged areas of a worksheet
	maxElements = 8_000_000 // elements of XML of a part
)

// Open reads an xlsx, xlsm or CSV file, told apart by content. The book is nil
// when the file cannot be read whole; an error then says what it is and what
// to do.
func Open(path string) (*Book, []estimate.Problem) { return OpenSheets(path, everySheet) }

// OpenSheets is Open for a book of which only some sheets matter. The others
// are listed as Skipped and count towards no limit; they are not even looked at.
func OpenSheets(path string, want func(name string) bool) (*Book, []estimate.Problem) {
	if f, size := largeArchive(path); f != nil {
		defer f.Close()
		return readBook(filepath.Base(path), func(file string) (*Book, []estimate.Problem, error) { return readWorkbook(file, f, size, want) })
	}
	data, ps := Bytes(path)
	if data == nil {
		return nil, ps
	}
	book, ps := ParseSheets(path, data, want)
	return book, append(ps, openElsewhere(path)...)
}

// Bytes returns what is in an ordinary file of a size that may be read; nil
// and the reason when it cannot be.
func Bytes(path string) ([]byte, []estimate.Problem) {
	data, err := readFile(path)
	if err != nil {
		return nil, problems(filepath.Base(path), err)
	}
	return data, nil
}

// Parse does what Open does with bytes that are already in memory.
func Parse(name string, data []byte) (*Book, []estimate.Problem) {
	return ParseSheets(name, data, everySheet)
}

// ParseSheets does what OpenSheets does with bytes that are already in memory.
func ParseSheets(name string, data []byte, want func(name string) bool) (*Book, []estimate.Problem) {
	return readBook(filepath.Base(name), func(file string) (*Book, []estimate.Problem, error) {
		content, err := recognize(data)
		switch {
		case err != nil:
			return nil, nil, err
		case content == workbook:
			return readWorkbook(file, bytes.NewReader(data), int64(len(data)), want)
		}
		return readCSV(file, data)
	})
}

// readBook makes problems of what ends the reading of a file.
func readBook(file string, read func(file string) (*Book, []estimate.Problem, error)) (book *Book, ps []estimate.Problem) {
	// The workbook library is fed hostile files; whatever it trips over is
	// the file's fault, not the estimator's.
	defer func() {
		if recover() != nil {
			book, ps = nil, problems(file, malformed(estimate.Place{}, "the workbook"))
		}
	}()
	book, ps, err := read(file)
	if err != nil {
		return nil, problems(file, err)
	}
	return book, ps
}

func everySheet(string) bool { return true }

// Sheet returns the sheet of that name, whatever its case and spaces, or nil.
func (b *Book) Sheet(name string) *Sheet {
	for _, s := range b.Sheets {
		if sheetKey(s.Name) == sheetKey(name) {
			return s
		}
	}
	return nil
}

// Clone returns a copy of a book whose cells may be changed.
func (b *Book) Clone() *Book {
	c := *b
	c.Sheets = make([]*Sheet, len(b.Sheets))
	for i, s := range b.Sheets {
		one := *s
		one.Rows = make([][]Cell, len(s.Rows))
		for row, cells := range s.Rows {
			one.Rows[row] = slices.Clone(cells)
		}
		c.Sheets[i] = &one
	}
	return &c
}

func sheetKey(name string) string {
	return strings.ReplaceAll(strings.ToLower(foldSpace(name)), " ", "")
}

// refusal is the error for a file that cannot be read: a problem on its way
// up, still without the file's name.
type refusal estimate.Problem

func (r refusal) Error() string { return estimate.Problem(r).Sentence() }

func refuse(what, do string) error { return refusal{What: what, Do: do, Severity: estimate.Error} }

func refuseAt(at estimate.Place, what, do string) error {
	return refusal{Place: at, What: what, Do: do, Severity: estimate.Error}
}

func malformed(at estimate.Place, what string) error {
	return refuseAt(at, what+" is damaged", "open the file in your spreadsheet program, save it under a new name and try that one")
}

// problems turns the error that ended the reading into the one problem of the
// file.
func problems(file string, err error) []estimate.Problem {
	var r refusal
	if !errors.As(err, &r) {
		r = refusal{What: "the file cannot be read: " + err.Error(), Severity: estimate.Error}
	}
	r.Place.File = file
	return []estimate.Problem{estimate.Problem(r)}
}

// largeArchive opens an archive that is larger than MaxFile, so that it is never
// held whole; nil if the file is none.
func largeArchive(path string) (*os.File, int64) {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() <= MaxFile || info.Size() > MaxWorkbook {
		return nil, 0
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, 0
	}
	start := make([]byte, len(zipStart))
	if _, err := f.ReadAt(start, 0); err != nil || string(start) != zipStart {
		f.Close()
		return nil, 0
	}
	return f, info.Size()
}

func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, refuse(fmt.Sprintf("there is no file %q", path), "check the name and the folder")
	case errors.Is(err, fs.ErrPermission):
		return nil, refuse(fmt.Sprintf("%q may not be read", path), "ask for permission or copy the file")
	case err != nil:
		return nil, refuse(fmt.Sprintf("%q cannot be read", path), "check the name and the folder")
	case info.IsDir():
		return nil, refuse(fmt.Sprintf("%q is a folder", path), "name a file in it")
	case !info.Mode().IsRegular():
		return nil, refuse(fmt.Sprintf("%q is not an ordinary file", path), "name a workbook or a CSV file")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, refuse(fmt.Sprintf("%q may not be read", path), "close it in other programs, or ask for permission")
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxFile+1))
	if err != nil {
		return nil, refuse(fmt.Sprintf("%q cannot be read to its end", path), "copy it to this computer and try again")
	}
	return data, nil
}
