package workbook

import (
	"fmt"
	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"strconv"
)

// takeoffSheet writes one row a mark and rule. Shares follow the running total
// of their item, so that they foot to the cent after an edit too.
func (w *writer) takeoffSheet() {
	p, t := w.takeoff, &w.in.Takeoff
	w.top(p, "Takeoff", "What each opening needs, step by step; amounts are for one opening, the total for all of the mark. Worked out by the rules on Sources."+w.moneyWords())
	heads := []string{"Mark", "Qty", "Step", "Work", "Item", "Piece", "Pieces", "Length", "Each opening", "Unit", "Total", "Cost", "Held", "Worked out from",
		"Visit", "Rule", "Source", "Class", "Length, " + w.u.Name(estimate.Lengthwise), "Item so far"}
	p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	left, priced, onHand := w.notServed()
	before := map[string]itemRow{} // by the name in column Item
	i := -1
	p.Stream(len(t.Requirements), []xlsx.Look{xlsx.Text, xlsx.TextWrap, xlsx.TextRight, xlsx.Count, xlsx.Number, xlsx.Inches, xlsx.Money}, func(cells []xlsx.Cell) []xlsx.Cell {
		i++
		r := &t.Requirements[i]
		row, o := w.rowOf[i], &t.Openings[r.Opening]
		item, _ := w.in.Book.Items.Get(r.Item)
		name, cost := r.Item, xlsx.Str(xlsx.Text, "no price")
		if left[i] {
			// A name of its own, so that what is bought is shared over the rows
			// that it serves.
			name, cost = notBought+name, xlsx.Str(xlsx.Text, "not bought")
		}
		if r.Done {
			name, cost = cutAlready+name, xlsx.Str(xlsx.Text, "cut before")
		}
		prev := before[name]
		here := itemRow{row: row, sofar: prev.sofar + r.Amount*o.Qty}
		running := "K" + strconv.Itoa(row)
		if prev.row > 0 {
			running = "T" + strconv.Itoa(prev.row) + "+K" + strconv.Itoa(row)
		}
		if priced[name] {
			here.share = w.shareUpTo(r.Item, row)
			share := here.share
			if prev.row > 0 {
				share = "ROUND(" + here.share + "-" + prev.share + ",2)"
			}
			cost = xlsx.Formula(share, w.in.Plan.Share[i], xlsx.Money)
		} else if onHand[name] {
			cost = xlsx.Str(xlsx.TextRight, "on hand")
		}
		before[name] = here
		amount, l := w.u.Of(r.Dim, r.Amount), xlsx.CountOr(r.Dim == estimate.Each, xlsx.Number)
		cells = append(cells,
			xlsx.Str(xlsx.Text, o.Mark), xlsx.Formula(w.qtyCell(r.Opening), o.Qty, xlsx.Count), xlsx.Str(xlsx.Text, r.Step), xlsx.Str(xlsx.TextWrap, r.Do), xlsx.Str(xlsx.Text, name),
			xlsx.Str(xlsx.Text, r.Name), xlsx.Blank(xlsx.Count), xlsx.Blank(xlsx.TextRight), xlsx.Num(amount, l), xlsx.Str(xlsx.Text, w.u.Name(r.Dim)),
			xlsx.Formula("B"+strconv.Itoa(row)+"*I"+strconv.Itoa(row), float64(o.Qty)*amount, l), cost, xlsx.Str(xlsx.TextWrap, r.Held), xlsx.Str(xlsx.TextWrap, r.Inputs),
			xlsx.Str(xlsx.Text, r.Visit), xlsx.Str(xlsx.Text, r.Rule), xlsx.Str(xlsx.Text, r.Source), xlsx.Str(xlsx.Text, item.Class), xlsx.Blank(xlsx.Inches),
			xlsx.Formula(running, w.u.Of(r.Dim, here.sofar), l),
		)
		if r.Pieces() {
			cells[6], cells[7], cells[18] = xlsx.Num(r.Count, xlsx.Count), xlsx.Str(xlsx.TextRight, w.u.Words(r.Length)), xlsx.Num(w.u.Length(r.Length), xlsx.Inches)
		}
		return cells
	})
	p.Widths(7, 5, 5.5, 34, 17, 11, 7, 13, 10, 6, 11, 10, 13, 44, 6, 12, 44, 14, 11, 12)
	p.PrintCols(14)
	p.Finish("TakeoffRows", firstRow-1, len(heads), 1)
}

// itemRow is where an item stood last on Takeoff, its total up to there, and the
// formula of what its rows up to there bear of its used cost.
type itemRow struct {
	row   int
	sofar int64
	share string
}

// notServed returns the requirements that no stock serves, the items that are
// bought, and those of which nothing has to be.
func (w *writer) notServed() (left map[int]bool, priced, onHand map[string]bool) {
	left, priced, onHand = map[int]bool{}, map[string]bool{}, map[string]bool{}
	for _, buy := range w.in.Plan.Purchases {
		for _, i := range buy.TooLong {
			left[i] = true
		}
		priced[buy.Item.Key] = len(buy.Lines) > 0
		onHand[buy.Item.Key] = len(buy.Lines) == 0 && buy.State == ""
	}
	return left, priced, onHand
}

// shareUpTo returns what the rows of an item up to one bear of its used cost, to
// the cent. A row bears that less what the rows before it do.
func (w *writer) shareUpTo(item string, row int) string {
	use := w.useRow[item]
	return formula.Cents(w.useCell("I", use)+"*T"+strconv.Itoa(row)+"/"+w.useCell("D", use), formula.ShareDecimals)
}

// These stand before the item of a row that no stock serves, and of one whose
// pieces were cut from boards bought before: neither is in what is bought now.
const (
	notBought  = "NOT BOUGHT: "
	cutAlready = "CUT ALREADY: "
)

// qtyCell refers to the Qty of an opening on the Openings sheet. A piece of a
// mark that has a line of its own is 1, and the mark's line is without it.
func (w *writer) qtyCell(opening int) string {
	o := &w.in.Takeoff.Openings[opening]
	switch {
	case o.Piece > 0:
		return "1"
	case o.Apart > 0:
		return fmt.Sprintf("%s-%d", w.openingCell(opening, "Qty"), o.Apart)
	}
	return w.openingCell(opening, "Qty")
}

func (w *writer) openingCell(opening int, column string) string {
	o := &w.in.Takeoff.Openings[opening]
	for c, name := range w.in.Openings.Columns {
		if name == column {
			return "Openings!" + formula.Cell(w.openingRow[o.Order], c+1)
		}
	}
	return "1"
}
