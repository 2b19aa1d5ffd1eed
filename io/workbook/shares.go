package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// share is a line of an order, or its delivery and tax, by what each job bears of it.
type share struct {
	line  *pricing.OrderLine // nil: delivery and tax
	row   int                // of the line on Order
	ofJob []measure.Money
}

// shares returns what each job bears of the lines, and of what is left of its share of
// the order: delivery and tax.
func (w *orderWriter) shares() []share {
	rest := slices.Clone(w.in.Order.Shares)
	list := make([]share, 0, len(w.in.Order.Lines)+1)
	for i := range w.in.Order.Lines {
		l := &w.in.Order.Lines[i]
		list = append(list, share{l, w.t.First() + i, l.Shares})
		for j, m := range l.Shares {
			rest[j] -= m
		}
	}
	return append(list, share{ofJob: rest})
}

// shareColumn is what formulas name the column of a job.
func shareColumn(job int) string { return fmt.Sprintf("job %d", job+1) }

func (w *orderWriter) shareColumns() []xlsx.Column[share] {
	columns := []xlsx.Column[share]{
		{Head: "Code", Width: 12, Cell: func(s share) xlsx.Cell {
			if s.line == nil {
				return xlsx.Blank(xlsx.Text)
			}
			return xlsx.Str(xlsx.Text, s.line.Offer.Code)
		}},
		{Head: "Description", Width: 38, Cell: func(s share) xlsx.Cell {
			if s.line == nil {
				return xlsx.Str(xlsx.Text, "Delivery and tax")
			}
			return descriptionCell(*s.line)
		}},
		{Head: "Count", Width: 8, Cell: func(s share) xlsx.Cell {
			if s.line == nil {
				return xlsx.Blank(xlsx.Count)
			}
			return xlsx.Formula(w.t.Cell(s.row, "Count").Moving(), s.line.Count, xlsx.Count)
		}},
		{Head: "Extension", Width: 12, Cell: func(s share) xlsx.Cell {
			if s.line == nil {
				return xlsx.Formula("SUM("+w.t.Rows(w.delivery, w.tax, "Extension").Moving()+")", w.in.Order.Delivery+w.in.Order.Tax, xlsx.Money)
			}
			return xlsx.Formula(w.t.Cell(s.row, "Extension").Moving(), s.line.Extension, xlsx.Money)
		}},
	}
	for j, name := range w.in.Jobs {
		columns = append(columns, xlsx.Column[share]{Key: shareColumn(j), Head: name, Clash: " (job)", Width: 18, Cell: func(s share) xlsx.Cell {
			return xlsx.Num(s.ofJob[j], xlsx.Money)
		}})
	}
	return columns
}

// sharesSheet writes what each job bears of the order.
func (w *orderWriter) sharesSheet(p *xlsx.Sheet) {
	o := w.in.Order
	p.Row(xlsx.Str(xlsx.Title, "Shares of the jobs"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Each job's share of the order by its need; of delivery and tax by its materials."))
	p.Skip(1)
	t := xlsx.NewTable(p, "OrderShares", w.shareColumns())
	header := t.Header()
	p.TitleRows(header, header)
	for _, s := range w.shares() {
		t.Row(s)
	}
	t.Filter()
	sums := map[string]xlsx.Cell{"Description": xlsx.Str(xlsx.TotalText, w.totalWords()), "Extension": xlsx.Formula(t.Sum("Extension"), o.Total(), xlsx.Total)}
	for j, m := range o.Shares {
		sums[shareColumn(j)] = xlsx.Formula(t.Sum(shareColumn(j)), m, xlsx.Total)
	}
	t.Foot(xlsx.TotalText, sums)
}
