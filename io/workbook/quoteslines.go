package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing/compare"
)

// linesSheet writes every line as its supplier wrote it, with what count times
// unit price comes to.
func (w *quotesWriter) linesSheet() {
	p := w.lines
	p.row(str(title, "Lines"))
	p.row(str(subtitle, "Every line as the supplier wrote it. Lines about no item of the job are in the supplier's own sums and in no other."))
	p.skip(1)
	header := p.row(strs(heading, "Quote", "Cell", "Item", "Description", "Content", "Count", "Unit price", "Extension as written", "Count x unit price", "Apart", "In the sum of extensions", "Used")...)
	for _, q := range w.c.Quotes {
		first := p.next()
		for _, l := range q.Lines {
			p.row(quoteLine(p.next(), q.Supplier, l)...)
		}
		w.lineRows = append(w.lineRows, [2]int{first, p.next() - 1})
	}
	p.widths(24, 22, 20, 34, 12, 8, 10, 12, 12, 10, 12, 24)
	p.finish("QuoteLines", header, 12, 1)
}

func quoteLine(row int, supplier string, l compare.QuoteLine) []cell {
	cells := []cell{str(text, supplier), str(text, l.Offer.Place.String()), str(text, l.Named), str(textWrap, l.Offer.Description), str(text, l.Offer.Content),
		blank(count), blank(unitPrice), blank(money), blank(money), blank(money), blank(money), str(textWrap, usedWords(l))}
	if l.Count.Set {
		cells[5].v = l.Count.V
	}
	if l.Price.Set {
		cells[6].v = l.Price.V
	}
	if l.Extension.Set {
		cells[7].v = l.Extension.V
		cells[10] = formula("H"+itoa(row), l.Extension.V, money)
	}
	by := l.ByPrice()
	switch {
	case by.Set:
		cells[8] = formula(cents(fmt.Sprintf("F%d*G%d", row, row), extensionDecimals), by.V, money)
		if l.Extension.Set {
			cells[9] = formula(fmt.Sprintf("ROUND(H%d-I%d,2)", row, row), l.Extension.V-by.V, money)
		} else {
			cells[10] = formula("I"+itoa(row), by.V, money)
		}
	case l.Extension.Set:
		cells[8] = formula("H"+itoa(row), l.Extension.V, money) // nothing else to go by
	}
	return cells
}

// usedWords say whether a line is bought from.
func usedWords(l compare.QuoteLine) string {
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
	p.row(str(title, "Buying"))
	p.row(str(subtitle, "What the job would take from each quote alone: packs, boards and rolls, whole, planned at its prices."))
	p.skip(1)
	header := p.row(strs(heading, "Quote", "Item", "Pack", "Count", "Unit", "Unit price", "Extension", "Cell")...)
	for _, q := range w.c.Quotes {
		var rows [][2]int
		for k, it := range q.Items {
			first := p.next()
			for _, l := range it.Lines {
				row := p.next()
				p.row(str(text, q.Supplier), str(text, w.c.Items[k].Item.Key), str(text, l.Offer.Content), num(l.Count(), count), str(text, l.Offer.Unit), num(l.Offer.Price, unitPrice),
					formula(cents(fmt.Sprintf("D%d*F%d", row, row), extensionDecimals), l.Extension, money), str(text, l.Offer.Place.String()))
			}
			rows = append(rows, [2]int{first, p.next() - 1})
		}
		w.buyRows = append(w.buyRows, rows)
	}
	p.widths(28, 22, 14, 9, 10, 11, 12, 30)
	p.finish("QuoteBuying", header, 8, 1)
}

// flagsSheet lists what has to be asked, each with its cell.
func (w *quotesWriter) flagsSheet() {
	p := w.flags
	p.row(str(title, "Flags"))
	p.row(str(subtitle, "What to ask each supplier before anything is ordered. Nothing was corrected."))
	p.skip(1)
	header := p.row(strs(heading, "Asked", "Quote", "What about", "Item", "Cell", "What", "What to do")...)
	for _, f := range w.c.Flags {
		p.row(blank(tick), str(textWrap, w.c.Quotes[f.Quote].Supplier), str(textWrap, f.Kind), str(text, f.Item), str(textWrap, f.Problem.Place.String()), str(textWrap, f.Problem.What), str(textWrap, f.Problem.Do))
	}
	if len(w.c.Flags) == 0 {
		p.row(str(text, "-"), str(text, "-"), str(text, "-"), str(text, "-"), str(text, "-"), str(text, "Nothing was found."), str(text, "-"))
	}
	p.widths(7, 24, 22, 18, 26, 66, 42)
	p.finish("QuoteFlags", header, 7, 0)
}

// readingsSheet writes each price that can be read in two ways, a row a reading,
// with what it does to the ranking by the items that all quote.
func (w *quotesWriter) readingsSheet() {
	p := w.readings
	p.row(str(title, "Readings"))
	p.row(str(subtitle, "Each price that can be read in two ways, and where the quote would stand by the items that all quote: by its own extensions, and for what the job needs."))
	p.skip(1)
	header := p.row(strs(heading, "Quote", "Cell", "Item", "Reading", "Unit price", "Extension", "Its own sum", "Rank by that", "For the job", "Rank by this", "Ranking")...)
	for _, f := range w.c.Flags {
		for k, r := range f.Readings {
			p.row(str(textWrap, w.c.Quotes[f.Quote].Supplier), str(textWrap, f.Problem.Place.String()), str(text, nonEmpty(f.Item, "-")), str(textWrap, r.Governs),
				num(r.Price, unitPrice), maybeMoney(r.Extension), maybeMoney(r.Own), rankCell(r.OwnRank), maybeMoney(r.Need), rankCell(r.NeedRank), str(textWrap, flipWords(f.Readings, k)))
		}
	}
	if p.next()-1 == header {
		p.row(str(text, "No price can be read in two ways."))
	}
	p.widths(24, 26, 18, 22, 11, 12, 12, 8, 12, 8, 30)
	p.freeze(header, 0)
	p.titleRows(header, header)
}

// flipWords say what a reading does to the ranking beside the first.
func flipWords(all []compare.Reading, k int) string {
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

func maybeMoney(m estimate.Maybe[measure.Money]) cell {
	if !m.Set {
		return str(textRight, "-")
	}
	return num(m.V, money)
}

func rankCell(rank int) cell {
	if rank == 0 {
		return str(textRight, "-")
	}
	return num(rank, count)
}

// checksSheet lists what was wrong with the files, and what stands against
// buying.
func (w *quotesWriter) checksSheet() {
	p := w.checks
	p.row(str(title, "Problems"))
	p.row(str(subtitle, "What could not be read, and what stands against buying from a line."))
	p.skip(1)
	header := p.row(strs(heading, "Severity", "Place", "What", "What to do")...)
	for _, x := range w.in.Problems {
		p.row(str(text, x.Severity.String()), str(textWrap, x.Place.String()), str(textWrap, x.What), str(textWrap, x.Do))
	}
	if len(w.in.Problems) == 0 {
		p.row(str(text, "none"), str(text, "-"), str(text, "-"), str(text, "-"))
	}
	p.widths(10, 34, 80, 56)
	p.finish("QuoteProblems", header, 4, 0)
}
