package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// stateOK is the state of a line that the job's inputs have not overtaken.
const stateOK = "ok"

// notACount is the state of a line whose Override cannot be used.
const notACount = "override is no count"

// runAgain is the state of a planned item whose need has changed since.
const runAgain = "run estimate again"

// materialRow is a line of what to buy: a pack size, a board length or a roll. An item
// of which nothing is bought has a row without a line.
type materialRow struct {
	buy  pricing.Purchase
	line *pricing.Line
	// first tells the first line of an item, on which its totals stand once.
	first bool
	plan  *planCost // on the first line of an item that is cut
}

// planCost is what the plans of an item cost when estimated, the lowest possible cost, and
// that of first fit: filling boards by hand, from the longest piece down.
type planCost struct{ cost, bound, firstFit measure.Money }

func planCostOf(buy pricing.Purchase) *planCost {
	if len(buy.Plans) == 0 {
		return nil
	}
	var cost, bound, fit measure.UnitPrice
	for _, c := range buy.Plans {
		cost, bound, fit = cost+c.Plan.Cost, bound+c.Plan.Bound, fit+max(c.Plan.FirstFitCost, c.Plan.Cost)
	}
	return &planCost{cost.Cents(), bound.Cents(), fit.Cents()}
}

// materialColumns: Key and Override are read back.
func (w *writer) materialColumns() []xlsx.Column[materialRow] {
	type row = materialRow
	u := w.u
	amount := func(r row) xlsx.Look { return xlsx.CountOr(r.buy.Item.Dim == estimate.Each, xlsx.Number) }
	ofUse := func(r row, head string) string { return w.use.At(r.buy.Item.Key, head).Moving() }
	line := func(cell func(row, pricing.Line) xlsx.Cell) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r.line == nil {
				return xlsx.Cell{}
			}
			return cell(r, *r.line)
		}
	}
	once := func(cell func(row) xlsx.Cell) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if !r.first {
				return xlsx.Cell{}
			}
			return cell(r)
		}
	}
	plan := func(cell func(planCost) xlsx.Cell) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r.plan == nil {
				return xlsx.Cell{}
			}
			return cell(*r.plan)
		}
	}
	return []xlsx.Column[row]{
		{Head: "Item", Width: 18, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.buy.Item.Key) }},
		{Head: "Description", Width: 26, Frozen: true, Cell: func(r row) xlsx.Cell {
			if r.line == nil {
				return xlsx.Str(xlsx.TextWrap, r.buy.Item.Name)
			}
			return xlsx.Str(xlsx.TextWrap, r.line.Offer.Description)
		}},
		{Head: "Supplier", Width: 23.5, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.offer().Supplier) }},
		{Head: "Code", Width: 10, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.offer().Code) }},
		{Head: "Need", Width: 10, Cell: once(func(r row) xlsx.Cell { return xlsx.Formula(ofUse(r, "Need"), w.served(r.buy), amount(r)) })},
		{Head: "Waste", Width: 7.5, Cell: once(func(r row) xlsx.Cell { return xlsx.Formula(ofUse(r, "Waste"), r.buy.Allowance, xlsx.Percent) })},
		{Head: "To buy", Width: 10, Cell: once(func(r row) xlsx.Cell { return xlsx.Formula(ofUse(r, "To buy"), w.toBuy(r.buy), amount(r)) })},
		{Head: "Unit", Width: 6, Cell: once(func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, u.Name(r.buy.Item.Dim)) })},
		{Key: "Far to buy", Head: "To buy, " + u.Far(), Width: 9, Cell: once(func(r row) xlsx.Cell {
			if r.buy.Item.Dim != estimate.Lengthwise {
				return xlsx.Cell{}
			}
			short := float64(u.FarBase()) / float64(u.Base(estimate.Lengthwise))
			return xlsx.Formula(fmt.Sprintf("{To buy}/%v", short), w.toBuy(r.buy)/short, xlsx.Number)
		})},
		{Head: "Pack", Width: 9.5, Cell: line(func(_ row, l pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Content) })},
		{Head: "Holds", Width: 9.5, Cell: line(func(r row, l pricing.Line) xlsx.Cell {
			return xlsx.Num(u.Of(r.buy.Item.Dim, l.Offer.Amount), amount(r))
		})},
		{Head: "Computed", Width: 10.5, Cell: line(func(r row, l pricing.Line) xlsx.Cell {
			if single(r.buy) {
				return xlsx.Formula("ROUNDUP(ROUND({To buy}/{Holds},6),0)", l.Computed, xlsx.Count)
			}
			return xlsx.Num(l.Computed, xlsx.Count)
		})},
		{Head: "Override", Width: 9.5, Cell: line(func(_ row, l pricing.Line) xlsx.Cell {
			return xlsx.Optional(l.Override.V, l.Override.Set, xlsx.InputCount)
		})},
		{Head: "Count", Width: 7, Cell: line(func(_ row, l pricing.Line) xlsx.Cell {
			return xlsx.Formula(`IF(ISNUMBER({Override}),MAX(0,ROUND({Override},0)),{Computed})`, l.Count(), xlsx.Count)
		})},
		{Head: "Unit price", Width: 9, Cell: line(func(_ row, l pricing.Line) xlsx.Cell {
			return xlsx.Formula(w.priceCell(l.Offer), l.Offer.Price, xlsx.UnitPrice)
		})},
		{Head: "Extension", Width: 10.5, Cell: func(r row) xlsx.Cell {
			switch {
			case r.line != nil:
				return xlsx.Formula(formula.Cents("{Count}*{Unit price}", formula.ExtensionDecimals), r.line.Extension, xlsx.Money)
			case r.buy.Owner != nil:
				return xlsx.Str(xlsx.TextRight, pricing.ByOwner)
			case r.buy.State == "":
				return xlsx.Str(xlsx.TextRight, "none to buy")
			}
			return xlsx.Str(xlsx.TextRight, "not priced")
		}},
		{Head: "State", Width: 11, Cell: func(r row) xlsx.Cell { return w.materialState(r) }},
		{Head: "Price check", Width: 12, Cell: line(func(row, pricing.Line) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf(`IF({Unit price}={Price when estimated},"%s","may no longer be lowest")`, stateOK), stateOK, xlsx.TextWrap)
		})},
		{Head: "Bought", Width: 11, Unprinted: true, Cell: line(func(r row, l pricing.Line) xlsx.Cell {
			return xlsx.Formula("{Count}*{Holds}", float64(l.Count())*u.Of(r.buy.Item.Dim, l.Offer.Amount), amount(r))
		})},
		{Head: "Used", Width: 10, Cell: line(func(r row, l pricing.Line) xlsx.Cell {
			return xlsx.Formula("IF({Bought}=0,0,"+formula.Cents("{Extension}*"+ofUse(r, "Share used"), formula.ShareDecimals)+")", r.buy.UsedOf(l), xlsx.Money)
		})},
		{Head: "Key", Width: 34, Cell: line(func(_ row, l pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.Key, l.Key()) })},
		{Head: "Price when estimated", Width: 12, Cell: line(func(_ row, l pricing.Line) xlsx.Cell { return xlsx.Num(l.Offer.Price, xlsx.UnitPrice) })},
		{Head: "Plan cost", Width: 11, Cell: plan(func(c planCost) xlsx.Cell { return xlsx.Num(c.cost, xlsx.Money) })},
		{Head: "Lowest possible", Width: 12, Cell: plan(func(c planCost) xlsx.Cell { return xlsx.Num(c.bound, xlsx.Money) })},
		{Head: "By hand", Width: 11, Cell: plan(func(c planCost) xlsx.Cell { return xlsx.Num(c.firstFit, xlsx.Money) })},
		{Head: "Saved", Width: 10, Cell: plan(func(c planCost) xlsx.Cell {
			return xlsx.Formula("ROUND({By hand}-{Plan cost},2)", c.firstFit-c.cost, xlsx.Money)
		})},
		{Head: "Tax by item", Width: 10, Cell: line(func(_ row, l pricing.Line) xlsx.Cell { return w.lineTax(l) })},
		{Head: "Planned for", Width: 11, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Key, r.buy.Fingerprint) }},
		{Head: "Cost code", Width: 12, Cell: line(func(r row, _ pricing.Line) xlsx.Cell { return xlsx.Str(xlsx.Text, r.buy.Item.CostCode) })},
		{Head: "No.", Width: 6, Numbered: true},
	}
}

// offer is what is bought, nothing where no line is.
func (r materialRow) offer() pricing.Offer {
	if r.line == nil {
		return pricing.Offer{}
	}
	return r.line.Offer
}

// materialRows returns the rows of Materials with their keys.
func (w *writer) materialRows() (keys []string, rows []materialRow) {
	for _, buy := range w.in.Plan.Purchases {
		if len(buy.Lines) == 0 {
			keys, rows = append(keys, "no line of "+buy.Item.Key), append(rows, materialRow{buy: buy, first: true})
		}
		for i := range buy.Lines {
			r := materialRow{buy: buy, line: &buy.Lines[i], first: i == 0}
			if i == 0 {
				r.plan = planCostOf(buy)
			}
			keys, rows = append(keys, buy.Lines[i].Key()), append(rows, r)
		}
	}
	return keys, rows
}

func (w *writer) placeMaterials() {
	w.materials = xlsx.NewTable(w.out.Sheet("Materials"), "MaterialLines", w.materialColumns())
	keys, _ := w.materialRows()
	w.materials.Place(firstRow-1, keys)
}

// materialsTotal is the label of the sum on Materials.
const materialsTotal = "Materials"

// materialsSheet writes what to buy, a row a pack size, board length or roll.
func (w *writer) materialsSheet(p *xlsx.Sheet) {
	w.top(p, "Materials", "What to buy. Type a count in Override to change it; a price is changed on Prices. Items that are cut are planned on real lengths: "+
		"at the right the cost of the plan when estimated, the lowest possible, and the cost of filling boards by hand, longest piece first."+w.moneyWords())
	t := w.materials
	t.Header()
	var sum measure.Money
	var plans planCost
	keys, rows := w.materialRows()
	for i, r := range rows {
		t.Keyed(keys[i], r)
		if r.line != nil {
			sum += r.line.Extension
		}
		if r.plan != nil {
			plans = planCost{plans.cost + r.plan.cost, plans.bound + r.plan.bound, plans.firstFit + r.plan.firstFit}
		}
	}
	t.Seal()
	total := func(head string, v measure.Money) xlsx.Cell { return xlsx.Formula(t.Sum(head), v, xlsx.Total) }
	t.Total(materialsTotal, map[string]xlsx.Cell{
		"Extension": total("Extension", sum), "Plan cost": total("Plan cost", plans.cost), "Lowest possible": total("Lowest possible", plans.bound),
		"By hand": total("By hand", plans.firstFit), "Saved": total("Saved", plans.firstFit-plans.cost),
	})
}

// lineTax is the tax of a line where the job rounds it line by line.
func (w *writer) lineTax(l pricing.Line) xlsx.Cell {
	tax := measure.Money(0)
	if w.in.Book.Job.TaxByItem {
		tax = pricing.Tax(l.Extension, w.in.Book.Job.Tax)
	}
	f := fmt.Sprintf(`IF(%s="item",%s,0)`, w.setting("tax basis"), formula.Cents("{Extension}*"+w.setting("tax"), formula.RateDecimals))
	return xlsx.Formula(f, tax, xlsx.Money)
}

// materialState says what an edit since the run means for a row.
func (w *writer) materialState(r materialRow) xlsx.Cell {
	switch o := w.owner(r.buy.Item.Key); {
	case r.buy.State != "":
		return xlsx.Str(xlsx.Bad, r.buy.State)
	case o != nil:
		return xlsx.Str(ownerLook(o), o.State())
	case r.line == nil:
		return xlsx.Str(xlsx.Text, "on hand")
	}
	f := fmt.Sprintf(`IF(%s,%s,"%s")`, countInput.valid("{Override}"), w.use.At(r.buy.Item.Key, "State").Moving(), notACount)
	return xlsx.Formula(f, stateOK, xlsx.TextWrap)
}

// single reports whether a purchase is one size of pack, whose count follows
// from the need by a formula; all else is a plan.
func single(buy pricing.Purchase) bool {
	return !buy.Item.Cut && len(buy.Lines) == 1 && buy.Opened == 0
}
