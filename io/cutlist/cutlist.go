// Package cutlist reads lists of pieces and of stock lengths, from CSV files or
// workbooks, and writes how the pieces are cut as CSV.
package cutlist

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Piece is a row of a list of pieces, with the cells of its length and count.
type Piece struct {
	cut.Piece
	LengthAt, CountAt estimate.Place
}

// Stock is a row of a list of stock, with the cell of its length. A price of 0
// is stock on hand.
type Stock struct {
	cut.Stock
	Name string // may be blank
	At   estimate.Place
}

// The headers of both lists.
const (
	length     = "length"
	count      = "count"
	label      = "label"
	held       = "on hold"
	factoryEnd = "factory end"
	price      = "price"
	available  = "available"
	name       = "name"
	unit       = "unit"
)

// PieceColumns returns the columns of a list of pieces, with other headers
// taken for them.
func PieceColumns() []sheet.Column {
	return []sheet.Column{
		{Key: length, Required: true, Synonyms: []string{"len", "cut length", "piece length", "finished length", "size"}},
		{Key: count, Required: true, Synonyms: []string{"qty", "quantity", "pieces", "pcs", "number of pieces", "no of pieces"}},
		{Key: label, Synonyms: []string{"mark", "piece", "part", "tag", "name", "description"}},
		{Key: held, Synonyms: []string{"held", "hold"}},
		{Key: factoryEnd, Synonyms: []string{"factory", "factory edge", "factory cut"}},
	}
}

// StockColumns returns the columns of a list of stock, with other headers
// taken for them.
func StockColumns() []sheet.Column {
	return []sheet.Column{
		{Key: length, Required: true, Synonyms: []string{"len", "stock length", "board length", "stick length", "roll length", "size"}},
		{Key: price, Required: true, Synonyms: []string{"unit price", "price each", "net price", "cost", "unit cost"}},
		{Key: available, Synonyms: []string{"on hand", "in stock", "qty", "quantity", "count", "number available", "limit"}},
		{Key: name, Synonyms: []string{"item", "stock", "material", "description", "label"}},
		{Key: unit, Synonyms: []string{"uom", "u/m", "unit of measure", "per", "sold by", "price per", "selling unit"}},
	}
}

// oneStock is what people call one length of stock, of which a price is.
var oneStock = sheet.NewVocabulary([]string{"each"}, map[string][]string{"each": {"ea", "pc", "piece", "board", "stick", "length", "roll", "bar", "1"}}, nil)

// ReadPieces returns the pieces of a list: a CSV file, or the first sheet of a
// workbook that is not hidden. bare is the unit of a length without one. A row
// with something wrong is left out, and everything wrong with it is reported,
// each at its cell. A list of more than cut.MaxPieces pieces is refused whole.
func ReadPieces(b *sheet.Book, bare measure.Unit) ([]Piece, []estimate.Problem) {
	pieces, problems := read(b, bare, PieceColumns(), (*fields).piece)
	total := 0
	for _, p := range pieces {
		total += p.Count
	}
	if total > cut.MaxPieces {
		return nil, append(problems, estimate.Problem{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
			What: fmt.Sprintf("it asks for %d pieces, more than 1,000,000", total), Do: "split the list"})
	}
	return pieces, problems
}

// ReadStock returns the stock of a list, as ReadPieces does. Stock whose
// availability is blank is available without limit. Prices must all be in one
// currency.
func ReadStock(b *sheet.Book, bare measure.Unit) ([]Stock, []estimate.Problem) {
	money := currency{}
	return read(b, bare, StockColumns(), func(f *fields) Stock { return f.stock(&money) })
}

// read returns what the rows of a list hold; row reads one.
func read[T any](b *sheet.Book, bare measure.Unit, cols []sheet.Column, row func(*fields) T) ([]T, []estimate.Problem) {
	s, problems := first(b)
	if s == nil {
		return nil, problems
	}
	t, more := s.Table(cols)
	problems = append(problems, more...)
	stated, _ := measure.ParseUnit(t.HeaderUnit(length))
	var out []T
	for _, r := range t.Rows {
		f := &fields{Row: r, stated: stated, bare: bare}
		v := row(f)
		problems = append(problems, f.problems...)
		if estimate.Errors(f.problems) == 0 {
			out = append(out, v)
		}
	}
	if len(t.Rows) == 0 && estimate.Errors(problems) == 0 {
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
			What: "there is no row under the headers", Do: "write a row for each length"})
	}
	return out, problems
}

// first returns the sheet that is read, and says so if there are others.
func first(b *sheet.Book) (*sheet.Sheet, []estimate.Problem) {
	for _, s := range b.Sheets {
		if s.Hidden {
			continue
		}
		if len(b.Sheets) == 1 {
			return s, nil
		}
		return s, []estimate.Problem{{Place: estimate.Place{File: b.File, Sheet: s.Name}, Severity: estimate.Note,
			What: fmt.Sprintf("only this sheet of %d is read", len(b.Sheets))}}
	}
	return nil, []estimate.Problem{{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
		What: "there is no sheet that is not hidden", Do: "unhide the sheet with the list"}}
}

func (f *fields) piece() Piece {
	p := Piece{
		Piece: cut.Piece{
			Length: required(f, length, "the length of the piece", f.side), Count: required(f, count, "how many are wanted", whole),
			Label: optional(f, label, "", word), Held: optional(f, held, false, yesNo), FactoryEnd: optional(f, factoryEnd, false, yesNo),
		},
		LengthAt: f.Cell(length).Place, CountAt: f.Cell(count).Place,
	}
	if p.Count == 0 && estimate.Errors(f.problems) == 0 {
		f.say(f.Cell(count), estimate.Note, "the count is 0; nothing is cut for this row", "")
	}
	return p
}

func (f *fields) stock(money *currency) Stock {
	s := Stock{
		Stock: cut.Stock{
			Length: required(f, length, "the length of the stock", f.side), Price: required(f, price, "the price of one, or 0 for stock on hand", amount),
			Available: optional(f, available, -1, whole),
		},
		Name: optional(f, name, "", word),
		At:   f.Cell(length).Place,
	}
	if c := f.Cell(unit); !c.Blank() {
		if _, one := oneStock.Find(c.Word()); !one {
			f.say(c, estimate.Error, fmt.Sprintf("the price is by %q", sheet.Excerpt(c.Word())), "write the price of one length of stock, and each as its unit")
		}
	}
	if c := f.Cell(price); estimate.Errors(f.problems) == 0 && !money.fits(c) {
		f.say(c, estimate.Error, fmt.Sprintf("%q is not in the currency of %q", c.Word(), money.first.Word()), "write all prices in one currency, written alike")
	}
	return s
}

// currency is the one in which prices are written, by the first that shows it.
type currency struct{ first sheet.Cell }

func (m *currency) fits(c sheet.Cell) bool {
	switch sign := currencySign(c); {
	case sign == "":
		return true
	case m.first.Blank():
		m.first = c
		return true
	default:
		return sign == currencySign(m.first)
	}
}

// currencySign returns what a price is written with beside its number.
func currencySign(c sheet.Cell) string {
	if c.Kind == sheet.Number {
		return ""
	}
	return strings.ToUpper(strings.Map(func(r rune) rune {
		if strings.ContainsRune("0123456789., ", r) {
			return -1
		}
		return r
	}, c.Word()))
}
