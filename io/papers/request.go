package papers

import (
	"cmp"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// Request is what a supplier is asked the prices of.
type Request struct {
	Job      estimate.Job
	Supplier string // "" = whoever gets it writes his name
	Lines    []pricing.RequestLine
	Asked    func(pricing.RequestLine) string // what a line asks for, in words
}

// requestColumns have the heads of a price list, so that the sheet is one once it is
// filled in.
func (in Request) requestColumns() []xlsx.Column[pricing.RequestLine] {
	type row = pricing.RequestLine
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(l row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, of(l)) }
	}
	blank := func(l xlsx.Look) func(row) xlsx.Cell { return func(row) xlsx.Cell { return xlsx.Blank(l) } }
	return []xlsx.Column[row]{
		{Head: "Code", Width: 12, Cell: text(func(l row) string { return l.Code })},
		{Head: "Description", Width: 42, Cell: text(in.Asked)},
		{Head: "Content", Width: 12, Cell: func(l row) xlsx.Cell {
			if l.Content == "" {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.Text, l.Content)
		}},
		{Head: "Unit", Width: 9, Cell: text(func(l row) string { return l.Unit })},
		{Head: "Count", Width: 8, Cell: func(l row) xlsx.Cell { return xlsx.Optional(l.Count.V, l.Count.Set, xlsx.Count) }},
		{Head: "Price", Width: 11, Cell: blank(xlsx.InputUnitPrice)},
		{Head: "Lead days", Width: 9, Cell: blank(xlsx.InputCount)},
		{Head: "Substitute", Width: 22, Cell: blank(xlsx.InputText)},
		{Head: "Supplier", Width: 16, Cell: func(row) xlsx.Cell {
			if in.Supplier == "" {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.TextWrap, in.Supplier)
		}},
		{Head: "Item", Width: 15, Cell: func(l row) xlsx.Cell { return xlsx.Str(xlsx.Key, l.Item.Key) }},
	}
}

// WriteRequest returns the request as a workbook. The same input gives the same bytes.
func WriteRequest(in Request) ([]byte, error) {
	o := xlsx.New(xlsx.Properties{Title: "Request for a quote", Subject: "Materials for window and door openings", Description: strings.TrimSpace("For " + in.Supplier)})
	o.Paper, o.Header, o.Footer = in.Job.Paper, strings.TrimSpace(in.Job.Number+"  "+in.Job.Name), cmp.Or(in.Job.Papers.Firm.Name, "Request for a quote")
	p := o.AddSheet("Prices")
	p.Landscape(true)
	t := xlsx.NewTable(p, "Request", in.requestColumns())
	p.Row(xlsx.Str(xlsx.Title, "Request for a quote"))
	papers := in.Job.Papers
	p.Row(xlsx.Str(xlsx.Subtitle, words(papers.Firm.Name, papers.Firm.Address, papers.Firm.Phone, papers.Firm.Email, in.Job.Number, in.Job.Name, day(in.Job.Date))))
	p.Row(xlsx.Str(xlsx.Subtitle, words("Please fill in the yellow cells: price of one as packed, lead days, and under Substitute what you would send instead.", in.Job.ShipTo)))
	p.Skip(1)
	t.Header()
	for _, l := range in.Lines {
		t.Row(l)
	}
	t.Finish()
	return o.Bytes()
}
