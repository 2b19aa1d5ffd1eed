package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// leftRow is a line of what is still to buy of an item; an item of which nothing is has a
// row without a line.
type leftRow struct {
	pricing.ItemLeft
	buy   *pricing.Purchase // nil = nothing of the item is left to do
	line  *pricing.Line
	first bool // the first line of its item, on which its amounts stand once
}

// toBuyColumns: Key and Planned are read back by order.
func (w *writer) toBuyColumns() []xlsx.Column[leftRow] {
	type row = leftRow
	amount := func(of func(row) int64) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if !r.first {
				return xlsx.Cell{}
			}
			return xlsx.Num(w.u.Of(r.Item.Dim, of(r)), xlsx.CountOr(r.Item.Dim == estimate.Each, xlsx.Number))
		}
	}
	line := func(cell func(pricing.Line) xlsx.Cell) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r.line == nil {
				return xlsx.Cell{}
			}
			return cell(*r.line)
		}
	}
	return []xlsx.Column[row]{
		{Head: "Item", Width: 20, Frozen: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.Item.Key) }},
		{Head: "Description", Width: 30, Cell: func(r row) xlsx.Cell {
			if r.line != nil {
				return xlsx.Str(xlsx.TextWrap, r.line.Offer.Description)
			}
			return xlsx.Str(xlsx.TextWrap, r.Item.Name)
		}},
		{Head: "Need", Width: 10, Cell: amount(func(r row) int64 { return r.Need })},
		{Head: "Done", Width: 10, Cell: amount(func(r row) int64 { return r.ItemLeft.Done })},
		{Head: "On hand", Width: 10, Cell: amount(func(r row) int64 { return r.OnHand })},
		{Head: "Bought", Width: 10, Cell: amount(func(r row) int64 { return r.Bought })},
		{Head: "To buy", Width: 10, Cell: amount(func(r row) int64 { return r.toBuy() })},
		{Head: "Unit", Width: 6, Cell: func(r row) xlsx.Cell {
			if !r.first {
				return xlsx.Cell{}
			}
			return xlsx.Str(xlsx.Text, w.u.Name(r.Item.Dim))
		}},
		{Head: "Supplier", Width: 23, Cell: line(func(l pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Offer.Supplier) })},
		{Head: "Code", Width: 10, Cell: line(func(l pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Code) })},
		{Head: "Pack", Width: 10, Cell: line(func(l pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Content) })},
		{Head: "Planned", Width: 8, Cell: line(func(l pricing.Line) xlsx.Cell { return xlsx.Num(l.Computed, xlsx.Count) })},
		{Head: "Count", Width: 8, Cell: line(w.leftCount)},
		{Head: "Unit price", Width: 10, Cell: line(func(l pricing.Line) xlsx.Cell {
			return xlsx.Formula(w.priceCell(l.Offer), l.Offer.Price, xlsx.UnitPrice)
		})},
		{Head: "Extension", Width: 11, Cell: func(r row) xlsx.Cell {
			switch {
			case r.line == nil && r.buy != nil && r.buy.State != "":
				return xlsx.Str(xlsx.TextRight, "not priced")
			case r.buy != nil && r.buy.Owner != nil:
				return xlsx.Str(xlsx.TextRight, pricing.ByOwner)
			case r.line == nil:
				return xlsx.Str(xlsx.TextRight, "none to buy")
			}
			return xlsx.Formula(formula.Cents("{Count}*{Unit price}", formula.ExtensionDecimals), r.line.Extension, xlsx.Money)
		}},
		{Head: "State", Width: 22, Cell: func(r row) xlsx.Cell { return w.leftState(r) }},
		{Head: "Had", Width: 8, Unprinted: true, Cell: line(func(l pricing.Line) xlsx.Cell {
			had := w.in.Remaining.Had(l)
			return xlsx.Optional(had.V, had.Set, xlsx.Count)
		})},
		{Head: "Key", Width: 34, Unprinted: true, Cell: line(func(l pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.Key, l.Key()) })},
	}
}

// leftCount is how many are still to buy: as planned, or what a count typed under Override
// on Materials, which is of the whole job, leaves beside those that were bought.
func (w *writer) leftCount(l pricing.Line) xlsx.Cell {
	if !w.materials.Has(l.Key()) {
		return xlsx.Formula("{Planned}", l.Count(), xlsx.Count)
	}
	typed := w.materials.At(l.Key(), "Override").String()
	return xlsx.Formula(fmt.Sprintf(`IF(AND(ISNUMBER(%[1]s),OR({Had}="",MAX(0,%[1]s)>MAX(0,{Had}))),ROUND(%[1]s,0)-MAX(0,{Had}),{Planned})`, typed), l.Count(), xlsx.Count)
}

// toBuy returns how much of the item is still to buy, before it is rounded to packs.
func (r leftRow) toBuy() int64 {
	if r.buy == nil {
		return 0
	}
	return r.buy.ToBuy
}

// leftState says how an item stands.
func (w *writer) leftState(r leftRow) xlsx.Cell {
	switch {
	case !r.first:
		return xlsx.Cell{}
	case r.buy != nil && r.buy.State != "":
		return xlsx.Str(xlsx.Bad, r.buy.State)
	case r.Need == 0:
		return xlsx.Str(xlsx.Warn, "bought, and not needed")
	case r.buy == nil:
		return xlsx.Str(xlsx.Text, "all is done")
	case r.buy.Owner != nil:
		return xlsx.Str(ownerLook(r.buy.Owner), r.buy.Owner.State())
	case r.Counted.Set:
		return xlsx.Str(xlsx.Text, "counted "+r.Counted.V.String())
	}
	return xlsx.Str(xlsx.Text, stateOK)
}

// leftRows lists the items of a job, with what is still to buy of each.
func leftRows(r *pricing.Remaining) (rows []leftRow) {
	for _, item := range r.Items {
		row := leftRow{ItemLeft: item, first: true}
		at := slices.IndexFunc(r.Plan.Purchases, func(p pricing.Purchase) bool { return p.Item.Key == item.Item.Key })
		if at < 0 || len(r.Plan.Purchases[at].Lines) == 0 {
			if at >= 0 {
				row.buy = &r.Plan.Purchases[at]
			}
			rows = append(rows, row)
			continue
		}
		row.buy = &r.Plan.Purchases[at]
		for i := range row.buy.Lines {
			row.line, row.first = &row.buy.Lines[i], i == 0
			rows = append(rows, row)
		}
	}
	return rows
}

// toFinish is a line of what finishing costs.
type toFinish struct {
	name   string
	amount xlsx.Cell
	about  string
}

// Rows of To buy that Summary names.
const (
	boughtSoFar  = "Bought so far"
	costToFinish = "Cost to finish"
)

// toBuySheet writes what there is of each item, and what is still to buy.
func (w *writer) toBuySheet(p *xlsx.Sheet) {
	w.top(p, "To buy", "What the job needs beside what was done before its first order, what of that is done by Status, what is on hand and was "+
		"bought, and what is still to buy, planned on what there is. "+
		"sillwright order orders this. Materials is the whole job, as it is bid."+w.moneyWords())
	t := xlsx.NewTable(p, "StillToBuy", w.toBuyColumns())
	r := w.in.Remaining
	t.Header()
	if r == nil {
		t.Line(xlsx.Span{From: "Item", To: "Extension", Cell: xlsx.Str(xlsx.Text, "Nothing is bought, and nothing is done: all on Materials is still to buy.")})
		return
	}
	for _, row := range leftRows(r) {
		t.Row(row)
	}
	t.Seal()
	sum := t.Total("Still to buy", map[string]xlsx.Cell{"Extension": xlsx.Formula(t.Sum("Extension"), r.Plan.Materials, xlsx.Total)})
	p.Skip(1)
	w.left = xlsx.NewTable(p, "CostToFinish", []xlsx.Column[toFinish]{
		{Head: "Line", Cell: func(l toFinish) xlsx.Cell { return xlsx.Str(xlsx.Text, l.name) }},
		{Head: "What it is", Cell: func(l toFinish) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.about) }},
		{Head: "Amount", Cell: func(l toFinish) xlsx.Cell { return l.amount }},
	})
	f := r.Finish
	typed := func(m measure.Money) xlsx.Cell { return xlsx.Num(m, xlsx.Money) }
	w.left.HeaderOnly()
	first := p.Next()
	for _, l := range []toFinish{
		{"Materials still to buy", xlsx.Formula(t.Cell(sum, "Extension").Local(), f.Materials, xlsx.Money), "above"},
		{"Delivery", typed(f.Delivery), "of those orders"},
		{"Windows and doors", typed(f.Units), "of marks whose Status is blank: their units are not ordered"},
		{"Labor", typed(f.Labor), w.laborLeftWords()},
		{"Other costs", typed(f.Costs), "all of them: nothing says which are spent"},
		{"Sales tax", typed(f.Tax), "of all of these"},
	} {
		w.left.Row(l)
	}
	w.left.Line(
		xlsx.Span{From: "Line", Cell: xlsx.Str(xlsx.TotalText, costToFinish)},
		xlsx.Span{From: "What it is", Cell: xlsx.Str(xlsx.TotalText, "at cost, without markup")},
		xlsx.Span{From: "Amount", Cell: xlsx.Formula(w.left.SumRows(first, p.Next()-1, "Amount"), f.Total(), xlsx.Total)})
	w.left.Row(toFinish{"Bid when estimated", typed(w.in.Plan.Bid.Total), "the price when this was planned; Summary holds the present one against it"})
	w.leftWhole(p)
}

// laborLeftWords say what the labor to finish is of.
func (w *writer) laborLeftWords() string {
	if w.in.Plan.Bid.Labor == 0 {
		return "NO LABOR: no hours are typed, or no labor rate"
	}
	return "the crew's hours, by task, at openings at which the phase of the task is not done"
}

// standsBlock says on Summary how a job stands once something is bought or done: three
// amounts that are never added up.
func (w *writer) standsBlock(p *xlsx.Sheet) {
	r := w.in.Remaining
	if r == nil {
		return
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Where the job stands, "+w.in.Book.Job.Currency))
	t := xlsx.NewTable(p, "JobStands", doubtColumns)
	t.HeaderOnly()
	total := w.bid.At("total", "Amount").String()
	// Every input that these follow from is in the price or in the master check.
	asRun := fmt.Sprintf(`IF(AND(%s=0,%s=0,ROUND(%s-%s,2)=0),"as of this run","RUN ESTIMATE AGAIN")`,
		w.masterLine.Cell(masterRow, "Failed"), w.masterLine.Cell(masterRow, "Stale"), total, w.left.Cell(w.left.Last(), "Amount"))
	bought := "what was placed, with its tax and freight, less credits: see Purchases"
	state := xlsx.Formula(asRun, "as of this run", xlsx.Good)
	soFar := xlsx.Num(r.Bought.Cost, xlsx.Money)
	boughtState := state
	if r.Bought.Lines == 0 {
		boughtState = xlsx.Str(xlsx.Warn, "not stated")
		soFar, bought = xlsx.Str(xlsx.TextRight, "not stated"), "nothing that was placed stands on Purchases; what is done by Status came from elsewhere"
	}
	if n := r.Bought.Unpriced; n > 0 {
		bought = fmt.Sprintf("WITHOUT %d lines of Purchases that have no price; ", n) + bought
	}
	for _, d := range []doubt{
		{"Bid as priced", xlsx.Formula(total, w.in.Plan.Bid.Total, xlsx.Money), xlsx.Cell{}, "all openings, whatever is bought or done"},
		{boughtSoFar, soFar, boughtState, bought},
		{costToFinish, xlsx.Num(r.Finish.Total(), xlsx.Money), state, w.lacksToFinish() + "at cost, without overhead and profit: see To buy"},
	} {
		row := t.Row(d)
		at := t.Cell(row, "State")
		at.Highlight(fmt.Sprintf(`LEFT(%s,3)="RUN"`, at.Fixed()), xlsx.Bad)
	}
}

// lacksToFinish says what the cost to finish leaves out; "" for nothing.
func (w *writer) lacksToFinish() (words string) {
	if n := len(w.in.Remaining.Plan.Unpriced()); n > 0 {
		words += fmt.Sprintf("WITHOUT %d items that are still needed and have no price; ", n)
	}
	if w.in.Plan.Bid.Labor == 0 {
		words += "NO LABOR; "
	}
	if n := w.unitsWithoutCost(); n > 0 {
		words += fmt.Sprintf("WITHOUT the units of %d marks that have no cost; ", n)
	}
	return words
}

// unitsWithoutCost counts the marks whose units are still to be ordered, and have no cost.
func (w *writer) unitsWithoutCost() (n int) {
	for _, i := range w.in.Plan.Bid.NoUnitCost {
		if w.in.Takeoff.Openings[i].NotOrdered() > 0 {
			n++
		}
	}
	return n
}
