package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// useColumns are how much of an item is needed, bought and used.
func (w *writer) useColumns() []xlsx.Column[pricing.Purchase] {
	type row = pricing.Purchase
	amount := func(r row) xlsx.Look { return xlsx.CountOr(r.Item.Dim == estimate.Each, xlsx.Number) }
	ofLines := func(head string) string {
		m := w.materials
		return fmt.Sprintf("SUMIF(%s,{Item},%s)", m.Column("Item"), m.Column(head))
	}
	return []xlsx.Column[row]{
		{Head: "Item", Width: 20, Frozen: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.Item.Key) }},
		{Head: "Name", Width: 34, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Item.Name) }},
		{Head: "Unit", Width: 7, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, w.u.Name(r.Item.Dim)) }},
		{Head: "Need", Width: 12, Cell: func(r row) xlsx.Cell { return xlsx.Formula(w.needFormula(), w.served(r), amount(r)) }},
		{Head: "Waste", Width: 9, Cell: w.wasteCell},
		{Head: "To buy", Width: 12, Cell: func(r row) xlsx.Cell {
			f := "{Need}*(1+{Waste})"
			if r.Item.Dim == estimate.Each {
				f = "ROUNDUP(ROUND({Need}*(1+{Waste}),6),0)"
			}
			if r.OnHand > 0 {
				f = "MAX(0," + f + "-{On hand})"
			}
			c := xlsx.Formula(f, w.toBuy(r), amount(r))
			if r.Item.Cut || r.Owner != nil {
				c.F = "" // the plan's: pieces, laps and spares
			}
			return c
		}},
		{Head: "Packs opened", Width: 9, Cell: func(r row) xlsx.Cell { return xlsx.Optional(r.Opened, r.Opened > 0, xlsx.Count) }},
		{Head: "Bought", Width: 12, Cell: func(r row) xlsx.Cell { return xlsx.Formula(ofLines("Bought"), w.u.Of(r.Item.Dim, r.Bought), amount(r)) }},
		{Head: "Share used", Width: 9, Cell: func(r row) xlsx.Cell {
			return xlsx.Formula(`IF({Bought}=0,0,MIN(1,({To buy}+({Packs opened}<>"")*{Bought})/{Bought}))`, w.shareUsed(r), xlsx.Percent)
		}},
		{Head: "Cost", Width: 11, Cell: func(r row) xlsx.Cell { return xlsx.Formula(ofLines("Extension"), r.Cost, xlsx.Money) }},
		{Head: "Used", Width: 11, Cell: func(r row) xlsx.Cell { return xlsx.Formula(ofLines("Used"), r.Used, xlsx.Money) }},
		{Head: "Surplus", Width: 11, Cell: func(r row) xlsx.Cell { return xlsx.Formula("ROUND({Cost}-{Used},2)", r.Unused, xlsx.Money) }},
		{Head: "Need when estimated", Width: 16, Cell: func(r row) xlsx.Cell { return xlsx.Num(w.served(r), amount(r)) }},
		{Head: "To buy when estimated", Width: 12, Cell: func(r row) xlsx.Cell { return xlsx.Num(w.toBuy(r), amount(r)) }},
		{Head: "State", Width: 20, Cell: w.useState},
		{Head: "Moved", Width: 8, Unprinted: true, Cell: func(r row) xlsx.Cell {
			return xlsx.Formula("IF(ROUND({To buy}-{To buy when estimated},4)=0,0,1)", 0, xlsx.Count)
		}},
		{Head: "No.", Width: 6, Numbered: true},
		{Head: "On hand", Width: 10, Aside: !w.anyPacksOnHand(), Cell: func(r row) xlsx.Cell {
			return xlsx.Optional(w.u.Of(r.Item.Dim, r.OnHand), !r.Item.Cut && r.OnHand > 0, amount(r))
		}},
	}
}

// needFormula adds up the rows of Takeoff that are of an item.
func (w *writer) needFormula() string {
	if w.takeoff.Empty() {
		return "0"
	}
	return fmt.Sprintf("SUMIF(%s,{Item},%s)", w.takeoff.Column("Item"), w.takeoff.Column("Total"))
}

// wasteCell is the waste of an item, as Job sets it.
func (w *writer) wasteCell(r pricing.Purchase) xlsx.Cell {
	if key := estimate.WastePrefix + r.Item.Allowance; r.Allowance > 0 && w.settings.Has(key) {
		return xlsx.Formula(w.setting(key), r.Allowance, xlsx.Percent)
	}
	return xlsx.Num(r.Allowance, xlsx.Percent)
}

// useState says whether the need, or with its waste what is to be bought, has changed
// since the run, where the plan follows from it.
func (w *writer) useState(r pricing.Purchase) xlsx.Cell {
	state, look := stateOK, xlsx.TextWrap
	if o := w.owner(r.Item.Key); o != nil {
		state, look = o.State(), ownerLook(o)
	}
	switch {
	case r.State != "":
		return xlsx.Str(xlsx.Bad, r.State)
	case single(r):
		return xlsx.Str(xlsx.Text, stateOK)
	}
	f := `IF(AND(ROUND({Need}-{Need when estimated},4)=0,ROUND({To buy}-{To buy when estimated},4)=0),"%s","%s")`
	return xlsx.Formula(fmt.Sprintf(f, strings.ReplaceAll(state, `"`, `""`), runAgain), state, look)
}

func (w *writer) placeUse() {
	w.use = xlsx.NewTable(w.out.Sheet("Bought vs. used"), "MaterialUse", w.useColumns())
	keys := make([]string, len(w.in.Plan.Purchases))
	for i, buy := range w.in.Plan.Purchases {
		keys[i] = buy.Item.Key
	}
	w.use.Place(firstRow-1, keys)
}

// useSheet writes how much of each item the openings use, and what is bought
// beyond that: the bridge between Materials and the costs of the openings.
func (w *writer) useSheet(p *xlsx.Sheet) {
	w.top(p, "Bought vs. used", "How much of each item is needed, bought and used; the surplus is offcuts and part packs. "+
		"What the openings use is shared over the rows of Takeoff. Packs opened: bought at least, for openings a pack and days open of Items; they are used up. "+w.moneyWords())
	w.use.Header()
	for _, buy := range w.in.Plan.Purchases {
		w.use.Keyed(buy.Item.Key, buy)
	}
	w.use.Seal()
}

// useTotal sums a column of Bought vs. used.
func (w *writer) useTotal(head string) string {
	if w.use.Empty() {
		return "0"
	}
	return "SUM(" + w.use.Column(head).Moving() + ")"
}

// anyPacksOnHand reports whether any item that is bought in packs is on hand.
func (w *writer) anyPacksOnHand() bool {
	return slices.ContainsFunc(w.in.Plan.Purchases, func(p pricing.Purchase) bool { return !p.Item.Cut && p.OnHand > 0 })
}

// toBuy returns the need with its allowance, less what is on hand, worked out as the cell
// does.
func (w *writer) toBuy(buy pricing.Purchase) float64 {
	if buy.Item.Cut || buy.Item.Dim == estimate.Each || buy.Owner != nil {
		return w.u.Of(buy.Item.Dim, buy.ToBuy)
	}
	return max(0, w.u.Of(buy.Item.Dim, buy.Need)*(1+float64(buy.Allowance)/1e6)-w.u.Of(buy.Item.Dim, buy.OnHand))
}

// shareUsed returns how much of what is bought the openings bear.
func (w *writer) shareUsed(buy pricing.Purchase) float64 {
	bought := w.u.Of(buy.Item.Dim, buy.Bought)
	switch {
	case bought == 0:
		return 0
	case buy.Opened > 0:
		return 1
	}
	return min(1, w.toBuy(buy)/bought)
}

// served returns the need of an item less the rows that no stock serves.
func (w *writer) served(buy pricing.Purchase) float64 {
	need := buy.Need
	for _, i := range buy.TooLong {
		r := w.in.Takeoff.Requirements[i]
		need -= r.Amount * w.in.Takeoff.Openings[r.Opening].Qty
	}
	return w.u.Of(buy.Item.Dim, need)
}
