package comparison

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// linesSheet writes every line as its supplier wrote it, with what count times
// unit price comes to.
func (w *quotesWriter) linesSheet() {
	p := w.lines
	p.Row(xlsx.Str(xlsx.Title, "Lines"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Every line as the supplier wrote it. Lines about no item of the job are in the supplier's own sums and in no other."))
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Quote", "Cell", "Item", "Description", "Content", "Count", "Unit price", "Extension as written", "Count x unit price", "Apart", "In the sum of extensions", "Used")...)
	for _, q := range w.c.Quotes {
		first := p.Next()
		for _, l := range q.Lines {
			p.Row(quoteLine(p.Next(), q.Supplier, l)...)
		}
		w.lineRows = append(w.lineRows, [2]int{first, p.Next() - 1})
	}
	p.Widths(24, 22, 20, 34, 12, 8, 10, 12, 12, 10, 12, 24)
	p.Finish("QuoteLines", header, 12, 1)
}

func quoteLine(row int, supplier string, l pricing.QuoteLine) []xlsx.Cell {
	cells := []xlsx.Cell{xlsx.Str(xlsx.Text, supplier), xlsx.Str(xlsx.Text, l.Offer.Place.String()), xlsx.Str(xlsx.Text, l.Named), xlsx.Str(xlsx.TextWrap, l.Offer.Description), xlsx.Str(xlsx.Text, l.Offer.Content),
		xlsx.Blank(xlsx.Count), xlsx.Blank(xlsx.UnitPrice), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.Money), xlsx.Str(xlsx.TextWrap, usedWords(l))}
	if l.Count.Set {
		cells[5].V = l.Count.V
	}
	if l.Price.Set {
		cells[6].V = l.Price.V
	}
	if l.Extension.Set {
		cells[7].V = l.Extension.V
		cells[10] = xlsx.Formula("H"+strconv.Itoa(row), l.Extension.V, xlsx.Money)
	}
	by := l.ByPrice()
	switch {
	case by.Set:
		cells[8] = xlsx.Formula(formula.Cents(fmt.Sprintf("F%d*G%d", row, row), formula.ExtensionDecimals), by.V, xlsx.Money)
		if l.Extension.Set {
			cells[9] = xlsx.Formula(fmt.Sprintf("ROUND(H%d-I%d,2)", row, row), l.Extension.V-by.V, xlsx.Money)
		} else {
			cells[10] = xlsx.Formula("I"+strconv.Itoa(row), by.V, xlsx.Money)
		}
	case l.Extension.Set:
		cells[8] = xlsx.Formula("H"+strconv.Itoa(row), l.Extension.V, xlsx.Money) // nothing else to go by
	}
	return cells
}

// usedWords say whether a line is bought from.
func usedWords(l pricing.QuoteLine) string {
	switch {
	case l.Offer.Item == "" && !l.Unread:
		return "no item of the job"
	case l.Unread:
		return "cannot be read: see Problems"
	case !l.UnitPrice().Set:
		return "no price"
	case !l.Price.Set:
		return "unit price from the extension"
	}
	return ""
}

// buyingSheet writes what would be bought of each quote for what the job needs.
func (w *quotesWriter) buyingSheet() {
	p := w.buying
	p.Row(xlsx.Str(xlsx.Title, "Buying"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What the job would take from each quote alone: packs, boards and rolls, whole, planned at its prices."))
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Quote", "Item", "Pack", "Count", "Unit", "Unit price", "Extension", "Cell")...)
	for _, q := range w.c.Quotes {
		var rows [][2]int
		for k, it := range q.Items {
			first := p.Next()
			for _, l := range it.Lines {
				row := p.Next()
				p.Row(xlsx.Str(xlsx.Text, q.Supplier), xlsx.Str(xlsx.Text, w.c.Items[k].Item.Key), xlsx.Str(xlsx.Text, l.Offer.Content), xlsx.Num(l.Count(), xlsx.Count), xlsx.Str(xlsx.Text, l.Offer.Unit), xlsx.Num(l.Offer.Price, xlsx.UnitPrice),
					xlsx.Formula(formula.Cents(fmt.Sprintf("D%d*F%d", row, row), formula.ExtensionDecimals), l.Extension, xlsx.Money), xlsx.Str(xlsx.Text, l.Offer.Place.String()))
			}
			rows = append(rows, [2]int{first, p.Next() - 1})
		}
		w.buyRows = append(w.buyRows, rows)
	}
	p.Widths(28, 22, 14, 9, 10, 11, 12, 30)
	p.Finish("QuoteBuying", header, 8, 1)
}

// flagsSheet lists what has to be asked, each with its cell.
func (w *quotesWriter) flagsSheet() {
	p := w.flags
	p.Row(xlsx.Str(xlsx.Title, "Flags"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What to ask each supplier before anything is ordered. Nothing was corrected."))
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Asked", "Quote", "What about", "Item", "Cell", "What", "What to do")...)
	for _, f := range w.c.Flags {
		p.Row(xlsx.Blank(xlsx.Tick), xlsx.Str(xlsx.TextWrap, w.c.Quotes[f.Quote].Supplier), xlsx.Str(xlsx.TextWrap, f.Kind), xlsx.Str(xlsx.Text, f.Item), xlsx.Str(xlsx.TextWrap, f.Problem.Place.String()), xlsx.Str(xlsx.TextWrap, f.Problem.What), xlsx.Str(xlsx.TextWrap, f.Problem.Do))
	}
	if len(w.c.Flags) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "Nothing was found."), xlsx.Str(xlsx.Text, "-"))
	}
	p.Widths(7, 24, 22, 18, 26, 66, 42)
	p.Finish("QuoteFlags", header, 7, 0)
}

// readingsSheet writes each price that can be read in two ways, a row a reading,
// with what it does to the ranking by the items that all quote.
func (w *quotesWriter) readingsSheet() {
	p := w.readings
	p.Row(xlsx.Str(xlsx.Title, "Readings"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Each price that can be read in two ways, and where the quote would stand by the items that all quote: by its own extensions, and for what the job needs."))
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Quote", "Cell", "Item", "Reading", "Unit price", "Extension", "Its own sum", "Rank by that", "For the job", "Rank by this", "Ranking")...)
	for _, f := range w.c.Flags {
		for k, r := range f.Readings {
			p.Row(xlsx.Str(xlsx.TextWrap, w.c.Quotes[f.Quote].Supplier), xlsx.Str(xlsx.TextWrap, f.Problem.Place.String()), xlsx.Str(xlsx.Text, cmp.Or(f.Item, "-")), xlsx.Str(xlsx.TextWrap, r.Governs),
				xlsx.Num(r.Price, xlsx.UnitPrice), maybeMoney(r.Extension), maybeMoney(r.Own), rankCell(r.OwnRank), maybeMoney(r.Need), rankCell(r.NeedRank), xlsx.Str(xlsx.TextWrap, flipWords(f.Readings, k)))
		}
	}
	if p.Next()-1 == header {
		p.Row(xlsx.Str(xlsx.Text, "No price can be read in two ways."))
	}
	p.Widths(24, 26, 18, 22, 11, 12, 12, 8, 12, 8, 30)
	p.Freeze(header, 0)
	p.TitleRows(header, header)
}

// flipWords say what a reading does to the ranking beside the first.
func flipWords(all []pricing.Reading, k int) string {
	var words []string
	if all[k].OwnRank != all[0].OwnRank {
		words = append(words, fmt.Sprintf("own sum: rank %d, not %d", all[k].OwnRank, all[0].OwnRank))
	}
	if all[k].NeedRank != all[0].NeedRank {
		words = append(words, fmt.Sprintf("for the job: rank %d, not %d", all[k].NeedRank, all[0].NeedRank))
	}
	if k > 0 && len(words) == 0 {
		return "the same"
	}
	return strings.Join(words, "; ")
}

func maybeMoney(m estimate.Maybe[measure.Money]) xlsx.Cell {
	if !m.Set {
		return xlsx.Str(xlsx.TextRight, "-")
	}
	return xlsx.Num(m.V, xlsx.Money)
}

func rankCell(rank int) xlsx.Cell {
	if rank == 0 {
		return xlsx.Str(xlsx.TextRight, "-")
	}
	return xlsx.Num(rank, xlsx.Count)
}

// checksSheet lists what was wrong with the files, and what stands against
// buying.
func (w *quotesWriter) checksSheet() {
	p := w.checks
	p.Row(xlsx.Str(xlsx.Title, "Problems"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What could not be read, and what stands against buying from a line."))
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Severity", "Place", "What", "What to do")...)
	for _, x := range w.in.Problems {
		p.Row(xlsx.Str(xlsx.Text, x.Severity.String()), xlsx.Str(xlsx.TextWrap, x.Place.String()), xlsx.Str(xlsx.TextWrap, x.What), xlsx.Str(xlsx.TextWrap, x.Do))
	}
	if len(w.in.Problems) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "none"), xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "-"), xlsx.Str(xlsx.Text, "-"))
	}
	p.Widths(10, 34, 80, 56)
	p.Finish("QuoteProblems", header, 4, 0)
}
