package workbook

import (
	"strconv"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// takeoffRow is what an opening takes in a step.
type takeoffRow struct {
	r       *estimate.Requirement
	opening *estimate.Sized
	qty     string // formula
	item    string // the name in column Item
	class   string
	cost    xlsx.Cell
	running string // formula: all of the item down to this row
	sofar   int64
}

// takeoffColumns are a row a mark and step. Shares follow the running total of their
// item, so that they foot to the cent after an edit too.
func (w *writer) takeoffColumns() []xlsx.Column[takeoffRow] {
	type row = takeoffRow
	u := w.u
	amount := func(r row) xlsx.Look { return xlsx.CountOr(r.r.Dim == estimate.Each, xlsx.Number) }
	ofPieces := func(r row, l xlsx.Look, v any) xlsx.Cell { return xlsx.Optional(v, r.r.Pieces(), l) }
	return []xlsx.Column[row]{
		{Head: "Mark", Width: 7, Frozen: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.opening.Mark) }},
		{Head: "Qty", Width: 5, Cell: func(r row) xlsx.Cell { return xlsx.Formula(r.qty, r.opening.Qty, xlsx.Count) }},
		{Head: "Step", Width: 5.5, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.r.Step) }},
		{Head: "Work", Width: 34, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.r.Do) }},
		{Head: "Item", Width: 17, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.item) }},
		{Head: "Piece", Width: 11, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.r.Name) }},
		{Head: "Pieces", Width: 7, Cell: func(r row) xlsx.Cell { return ofPieces(r, xlsx.Count, r.r.Count) }},
		{Head: "Length", Width: 13, Cell: func(r row) xlsx.Cell {
			if !r.r.Pieces() {
				return xlsx.Blank(xlsx.TextRight)
			}
			return xlsx.Str(xlsx.TextRight, u.Words(r.r.Length))
		}},
		{Head: "Each opening", Width: 10, Cell: func(r row) xlsx.Cell { return xlsx.Num(u.Of(r.r.Dim, r.r.Amount), amount(r)) }},
		{Head: "Unit", Width: 6, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, u.Name(r.r.Dim)) }},
		{Head: "Total", Width: 11, Cell: func(r row) xlsx.Cell {
			return xlsx.Formula("{Qty}*{Each opening}", float64(r.opening.Qty)*u.Of(r.r.Dim, r.r.Amount), amount(r))
		}},
		{Head: "Cost", Width: 10, Cell: func(r row) xlsx.Cell { return r.cost }},
		{Head: "On hold", Width: 13, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.r.Held) }},
		{Head: "Calculation", Width: 44, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.r.Inputs) }},
		{Head: "Phase", Width: 6.5, Unprinted: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, string(r.r.Phase)) }},
		{Head: "Rule", Width: 12, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.r.Rule) }},
		{Head: "Source", Width: 44, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.r.Source) }},
		{Head: "Class", Width: 14, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.class) }},
		{Head: "Length, " + u.Name(estimate.Lengthwise), Width: 11, Cell: func(r row) xlsx.Cell { return ofPieces(r, xlsx.Inches, u.Length(r.r.Length)) }},
		{Head: "Item so far", Width: 12, Cell: func(r row) xlsx.Cell { return xlsx.Formula(r.running, u.Of(r.r.Dim, r.sofar), amount(r)) }},
		{Head: "No.", Width: 7, Numbered: true},
	}
}

// placeTakeoff lays out the rows of Takeoff: those of an opening stand together.
func (w *writer) placeTakeoff() {
	t := &w.in.Takeoff
	w.takeoff = xlsx.NewTable(w.out.Sheet("Takeoff"), "TakeoffRows", w.takeoffColumns())
	w.takeoff.PlaceRows(firstRow-1, len(t.Requirements))
	w.blocks = make([][2]int, len(t.Openings))
	for i, r := range t.Requirements {
		b, row := &w.blocks[r.Opening], w.takeoff.First()+i
		if b[0] == 0 {
			b[0] = row
		}
		b[1] = row
	}
}

// takeoffSheet writes one row a mark and rule.
func (w *writer) takeoffSheet(p *xlsx.Sheet) {
	w.top(p, "Takeoff", "What each opening needs, step by step; amounts are for one opening, the total for all of the mark. "+
		"Calculated by the rules on Sources."+w.moneyWords())
	w.takeoff.Header()
	looks := []xlsx.Look{xlsx.Text, xlsx.TextWrap, xlsx.TextRight, xlsx.Count, xlsx.Number, xlsx.Inches, xlsx.Money, xlsx.Key}
	w.takeoff.Stream(len(w.in.Takeoff.Requirements), looks, w.takeoffRows())
	w.takeoff.Seal()
}

// itemRow is where an item stood last on Takeoff, its total up to there, and the
// formula of what its rows up to there bear of its used cost.
type itemRow struct {
	row   int
	sofar int64
	share string
}

// takeoffRows returns what gives the rows of Takeoff one after the other.
func (w *writer) takeoffRows() func() takeoffRow {
	t := &w.in.Takeoff
	left, priced, free := w.notServed()
	before := map[string]itemRow{} // by the name in column Item
	i := -1
	return func() takeoffRow {
		i++
		r := &t.Requirements[i]
		row, o := w.takeoff.First()+i, &t.Openings[r.Opening]
		item, _ := w.in.Book.Items.Get(r.Item)
		name, cost := r.Item, xlsx.Str(xlsx.Text, "no price")
		if left[i] {
			// A name of its own, so that what is bought is shared over the rows
			// that it serves.
			name, cost = notBought+name, xlsx.Str(xlsx.Text, "not bought")
		}
		last := before[name]
		here := itemRow{row: row, sofar: last.sofar + r.Amount*o.Qty}
		running := "{Total}"
		if last.row > 0 {
			running = w.takeoff.Cell(last.row, "Item so far").Local() + "+{Total}"
		}
		if priced[name] {
			here.share = w.shareUpTo(r.Item, row)
			share := here.share
			if last.row > 0 {
				share = "ROUND(" + here.share + "-" + last.share + ",2)"
			}
			cost = xlsx.Formula(share, w.in.Plan.Share[i], xlsx.Money)
		} else if free[name] != "" {
			cost = xlsx.Str(xlsx.TextRight, free[name])
		}
		before[name] = here
		return takeoffRow{r: r, opening: o, qty: w.qtyCell(r.Opening), item: name, class: item.Class, cost: cost, running: running, sofar: here.sofar}
	}
}

// notServed returns the requirements that no stock serves, the items that are
// bought, and in words why nothing has to be of others.
func (w *writer) notServed() (left map[int]bool, priced map[string]bool, free map[string]string) {
	left, priced, free = map[int]bool{}, map[string]bool{}, map[string]string{}
	for _, buy := range w.in.Plan.Purchases {
		for _, i := range buy.TooLong {
			left[i] = true
		}
		priced[buy.Item.Key] = len(buy.Lines) > 0
		switch {
		case buy.Owner != nil:
			free[buy.Item.Key] = pricing.ByOwner
		case len(buy.Lines) == 0 && buy.State == "":
			free[buy.Item.Key] = "on hand"
		}
	}
	return left, priced, free
}

// shareUpTo returns what the rows of an item up to one bear of its used cost, to
// the cent. A row bears that less what the rows before it do.
func (w *writer) shareUpTo(item string, row int) string {
	used, need := w.use.At(item, "Used").Moving(), w.use.At(item, "Need").Moving()
	return formula.Cents(used+"*"+w.takeoff.Cell(row, "Item so far").Local()+"/"+need, formula.ShareDecimals)
}

// notBought stands before the item of a row that no stock serves.
const notBought = "NOT BOUGHT: "

// qtyCell refers to the Qty of an opening on the Openings sheet. A piece of a
// mark that has a line of its own is 1, and the mark's line is without it.
func (w *writer) qtyCell(opening int) string {
	o := &w.in.Takeoff.Openings[opening]
	switch {
	case o.Piece > 0:
		return "1"
	case o.Apart > 0:
		return w.openingCell(opening, "Qty") + "-" + strconv.FormatInt(o.Apart, 10)
	}
	return w.openingCell(opening, "Qty")
}

// openingCell refers to a live input of the sheet Openings; a column that the schedule
// does not have counts as 1.
func (w *writer) openingCell(opening int, column string) string {
	if !w.openings.HasColumn(column) {
		return "1"
	}
	return w.watchedOpenings.now(w.openingRow[w.in.Takeoff.Openings[opening].Order], column)
}
