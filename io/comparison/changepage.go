package comparison

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// ChangePage is what a customer gets to sign. It has no cost, markup or supplier.
type ChangePage struct {
	Job     estimate.Job
	Marks   []compare.MarkChange
	Entries compare.ChangeEntries
	Change  measure.Money // of the contract price
	Draft   bool          // something is missing: it says so in its first rows
}

// pageColumns have the widths of the whole page.
var pageColumns = []xlsx.Column[compare.MarkChange]{
	{Head: "Mark", Width: 17, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.Mark) }},
	{Head: "What changes", Width: 18, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.What) }},
	{Head: "Was", Width: 28, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.Was) }},
	{Head: "Now", Width: 28, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.Now) }},
}

// WriteChangePage returns the page as a workbook of values. The same input gives the same
// bytes.
func WriteChangePage(in ChangePage) ([]byte, error) {
	title := strings.TrimSpace("Change order " + in.Entries.Number)
	if in.Draft {
		title = "DRAFT, not to be signed: " + title
	}
	job := strings.TrimSpace(in.Job.Number + "  " + in.Job.Name)
	o := xlsx.New(xlsx.Properties{Title: title, Subject: "Change of a contract", Description: "For " + job})
	o.Paper, o.Header, o.Footer = in.Job.Paper, title, "No work on this change until it is signed"
	p := o.AddSheet("Change order")
	w := pageWriter{in: in, p: p, t: xlsx.NewTable(p, "WhatChanges", pageColumns)}
	w.t.SetWidths()
	p.Row(xlsx.Str(xlsx.Title, title))
	p.Row(xlsx.Str(xlsx.Subtitle, job))
	p.TitleRows(1, 2)
	w.head()
	w.whatChanges()
	w.price()
	w.effects()
	w.signatures()
	return o.Bytes()
}

// pageWriter builds the page.
type pageWriter struct {
	in ChangePage
	p  *xlsx.Sheet
	t  *xlsx.Table[compare.MarkChange]
}

// said is a line of a label and words.
func (w *pageWriter) said(label, words string) {
	w.t.Line(xlsx.Span{From: "Mark", To: "What changes", Cell: xlsx.Str(xlsx.Text, label)},
		xlsx.Span{From: "Was", To: "Now", Cell: xlsx.Str(xlsx.TextWrap, cmp.Or(words, notStated))})
}

// dayWords writes a date, "" where there is none.
func dayWords(d estimate.Maybe[measure.Date]) string {
	if !d.Set {
		return ""
	}
	return d.V.String()
}

func (w *pageWriter) head() {
	e := w.in.Entries
	w.p.Skip(1)
	w.said("Date", dayWords(e.Date))
	w.said("Reason", e.Reason)
}

// crewsFacts follow from what a customer chose, or are for the crew: they are on the page
// only where nothing else changed at a mark.
var crewsFacts = []string{"RO", "measured", "leg drop", "detail"}

// scope returns what changes as a customer reads it. Of the cost of a unit it says only
// that it does.
func (in ChangePage) scope() (list []compare.MarkChange) {
	crews := func(m compare.MarkChange) bool { return slices.Contains(crewsFacts, m.What) }
	for _, m := range in.Marks {
		told := func(x compare.MarkChange) bool { return x.Mark == m.Mark && !crews(x) }
		switch {
		case crews(m) && slices.ContainsFunc(in.Marks, told):
			continue
		case m.What == compare.UnitCost:
			m.What, m.Was, m.Now = "price of the unit", "as agreed", "changed"
		case m.What == "":
			m.What = m.Sort
		}
		m.Was, m.Now = cmp.Or(m.Was, none), cmp.Or(m.Now, none)
		list = append(list, m)
	}
	if len(list) == 0 {
		list = append(list, compare.MarkChange{Mark: none, What: "see the reason"})
	}
	return list
}

// whatChanges writes the scope.
func (w *pageWriter) whatChanges() {
	w.p.Skip(1)
	w.p.Row(xlsx.Str(xlsx.Section, "What changes"))
	w.t.Banner(xlsx.Note, fmt.Sprintf("Sizes in %s, width first.", oneOf(w.in.Job.MM, "millimeters", "inches")))
	w.t.HeaderOnly()
	for _, m := range w.in.scope() {
		w.t.Row(m)
	}
}

func (w *pageWriter) price() {
	e := w.in.Entries
	w.p.Skip(1)
	w.p.Row(xlsx.Str(xlsx.Section, "Contract price, "+w.in.Job.Currency))
	amount := func(label string, v estimate.Maybe[measure.Money], text, look xlsx.Look) {
		cell := xlsx.Num(v.V, look)
		if !v.Set {
			cell = xlsx.Str(xlsx.TextRight, notStated)
		}
		w.t.Line(xlsx.Span{From: "Mark", To: "Was", Cell: xlsx.Str(text, label)}, xlsx.Span{From: "Now", Cell: cell})
	}
	amount("Original contract price", e.Original, xlsx.Text, xlsx.Money)
	amount("Earlier changes", e.Earlier, xlsx.Text, xlsx.Money)
	amount(oneOf(w.in.Change < 0, "Deducted by this change", "Added by this change"), estimate.Given(w.in.Change), xlsx.Text, xlsx.Money)
	amount("New contract price", e.NewPrice(w.in.Change), xlsx.TotalText, xlsx.Total)
}

func (w *pageWriter) effects() {
	e := w.in.Entries
	w.p.Skip(1)
	w.p.Row(xlsx.Str(xlsx.Section, "Time, payments and what is not known yet"))
	days := ""
	if e.Days.Set {
		days = fmt.Sprint(e.Days.V)
	}
	w.said("Days added to completion", days)
	w.said("Effect on the payment schedule", e.Payments)
	w.said("What may still be hidden", e.Hidden)
	w.said("Price is valid until", dayWords(e.ValidUntil))
	for _, caution := range []string{
		"The price is for what is listed here alone. What is hidden and found later is a further change, in writing before its work.",
		"Sizes are measured again before anything new is ordered or cut.",
	} {
		w.t.Banner(xlsx.Note, caution)
	}
}

// signatureHeight leaves room to write by hand.
const signatureHeight = 30

// signatures are lines for both to fill in by hand.
func (w *pageWriter) signatures() {
	w.p.Skip(1)
	from := w.p.Next()
	w.t.Banner(xlsx.BigHead, "No work on this change until it is signed")
	line := func(a, b string, l xlsx.Look) int {
		return w.t.Line(xlsx.Span{From: "Mark", To: "What changes", Cell: xlsx.Str(l, a)},
			xlsx.Span{From: "Was", Cell: xlsx.Blank(xlsx.Plain)}, xlsx.Span{From: "Now", Cell: xlsx.Str(l, b)})
	}
	w.p.Row(xlsx.Str(xlsx.Section, "Customer"), xlsx.Cell{}, xlsx.Cell{}, xlsx.Str(xlsx.Section, "Contractor"))
	for _, label := range []string{"Signature", "Name", "Date"} {
		w.p.Height(line(label, label, xlsx.Text), signatureHeight)
	}
	w.p.KeepTogether(from, w.p.Next())
}
