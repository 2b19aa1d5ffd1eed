package comparison

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// flagsSheet lists what has to be asked, each with its cell.
func (w *quotesWriter) flagsSheet(p *xlsx.Sheet) func() {
	top(p, "Flags", "What to ask each supplier before anything is ordered. Nothing was corrected.")
	return func() {
		nothing := xlsx.Str(xlsx.Text, none)
		fillOr(xlsx.NewTable(p, "QuoteFlags", w.flagColumns()), w.c.Flags, map[string]xlsx.Cell{
			"Asked": nothing, "Quote": nothing, "Subject": nothing, "Item": nothing, "Cell": nothing,
			"What": xlsx.Str(xlsx.Text, "Nothing was found."), "What to do": nothing,
		})
	}
}

func (w *quotesWriter) flagColumns() []xlsx.Column[compare.Flag] {
	type flag = compare.Flag
	return []xlsx.Column[flag]{
		{Head: "Asked", Width: 7, Cell: func(flag) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }},
		{Head: "Quote", Width: 24, Cell: func(f flag) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.c.Quotes[f.Quote].Supplier) }},
		{Head: "Subject", Width: 22, Cell: func(f flag) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, f.Kind) }},
		{Head: "Item", Width: 18, Cell: func(f flag) xlsx.Cell { return xlsx.Str(xlsx.Text, f.Item) }},
		{Head: "Cell", Width: 26, Cell: func(f flag) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, f.Problem.Place.String()) }},
		{Head: "What", Width: 66, Cell: func(f flag) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, f.Problem.What) }},
		{Head: "What to do", Width: 42, Cell: func(f flag) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, f.Problem.Do) }},
	}
}

// reading is one way to read a price that a flag is in doubt of.
type reading struct {
	compare.Reading
	flag  compare.Flag
	place int // among the readings of the flag
}

// readingsSheet writes each price that can be read in two ways, a row a reading,
// with what it does to the ranking by the items that all quote.
func (w *quotesWriter) readingsSheet(p *xlsx.Sheet) func() {
	top(p, "Readings", "Each price that can be read in two ways, and the rank of the quote by the items that all quote: "+
		"by its own extensions, and for what the job needs.")
	return func() {
		t := xlsx.NewTable(p, "QuoteReadings", w.readingColumns())
		header := t.Header()
		for _, f := range w.c.Flags {
			for k, r := range f.Readings {
				t.Row(reading{r, f, k})
			}
		}
		if t.Empty() {
			p.Row(xlsx.Str(xlsx.Text, "No price can be read in two ways."))
		}
		p.Freeze(header, 0)
		p.TitleRows(header, header)
	}
}

func (w *quotesWriter) readingColumns() []xlsx.Column[reading] {
	rank := func(n int) xlsx.Cell { return known(estimate.Maybe[int]{V: n, Set: n > 0}, xlsx.Count) }
	return []xlsx.Column[reading]{
		{Head: "Quote", Width: 24, Cell: func(r reading) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.c.Quotes[r.flag.Quote].Supplier) }},
		{Head: "Cell", Width: 26, Cell: func(r reading) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.flag.Problem.Place.String()) }},
		{Head: "Item", Width: 18, Cell: func(r reading) xlsx.Cell { return xlsx.Str(xlsx.Text, cmp.Or(r.flag.Item, none)) }},
		{Head: "Reading", Width: 22, Cell: func(r reading) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Governs) }},
		{Head: "Unit price", Width: 11, Cell: func(r reading) xlsx.Cell { return xlsx.Num(r.Price, xlsx.UnitPrice) }},
		{Head: "Extension", Width: 12, Cell: func(r reading) xlsx.Cell { return known(r.Extension, xlsx.Money) }},
		{Head: "Quoted sum", Width: 12, Cell: func(r reading) xlsx.Cell { return known(r.Own, xlsx.Money) }},
		{Head: "Rank by quoted sum", Width: 8, Cell: func(r reading) xlsx.Cell { return rank(r.OwnRank) }},
		{Head: "For the job", Width: 12, Cell: func(r reading) xlsx.Cell { return known(r.Need, xlsx.Money) }},
		{Head: "Rank for the job", Width: 8, Cell: func(r reading) xlsx.Cell { return rank(r.NeedRank) }},
		{Head: "Ranking", Width: 30, Cell: func(r reading) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, rankingWords(r.flag.Readings, r.place)) }},
	}
}

// rankWords write a rank; what has no total has none.
func rankWords(n int) string {
	if n <= 0 {
		return "not ranked"
	}
	return fmt.Sprintf("rank %d", n)
}

// rankingWords say what a reading does to the ranking beside the first.
func rankingWords(all []compare.Reading, k int) string {
	var words []string
	if all[k].OwnRank != all[0].OwnRank {
		words = append(words, fmt.Sprintf("quoted sum: %s, not %s", rankWords(all[k].OwnRank), rankWords(all[0].OwnRank)))
	}
	if all[k].NeedRank != all[0].NeedRank {
		words = append(words, fmt.Sprintf("for the job: %s, not %s", rankWords(all[k].NeedRank), rankWords(all[0].NeedRank)))
	}
	if k > 0 && len(words) == 0 {
		return "the same"
	}
	return strings.Join(words, "; ")
}
