package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// stateOK is the state of a line that the job's inputs have not overtaken.
const stateOK = "ok"

// runAgain is the state of a planned item whose need has changed since.
const runAgain = "run estimate again"

// The columns of Materials. Key and Override are read back.
var lineHeads = []string{"Item", "Description", "Supplier", "Code", "Need", "Allowance", "To buy", "Unit", "Pack", "Holds", "Computed", "Override", "Count", "Unit price", "Extension", "State", "Price check", "Bought", "Used", "Key", "Price at the run", "Plan cost", "No plan costs less", "First fit", "Saved", "Tax by item", "Planned for", "Cost code"}

// Columns of Materials that other sheets refer to.
const (
	taxCol  = 26
	planCol = 22 // the first of four that say what a plan cost
)

// materialsSheet writes what to buy, a row a pack size, board length or roll.
func (w *writer) materialsSheet() {
	p := w.materials
	w.top(p, "Materials", "What to buy. Type a count in Override to change it; a price is changed on Prices. Items that are cut are planned on real lengths: at the right what the plan cost at the run, the least that any could, and what filling boards by hand would."+w.moneyWords())
	p.Row(xlsx.Strs(xlsx.Heading, lineHeads...)...)
	sum, plans := measure.Money(0), [][]xlsx.Cell{}
	for _, buy := range w.in.Plan.Purchases {
		for i, l := range buy.Lines {
			plan := planCells(buy, i == 0, p.Next())
			plans = append(plans, plan)
			cells := slices.Grow(w.lineCells(buy, l), len(lineHeads))[:len(lineHeads)]
			copy(cells[planCol-1:], plan)
			copy(cells[taxCol-1:], w.taxCells(buy, l, p.Next()))
			p.Row(cells...)
			sum += l.Extension
		}
		if len(buy.Lines) == 0 {
			cells := make([]xlsx.Cell, len(lineHeads))
			copy(cells, w.needCells(buy, buy.Item.Name, "", ""))
			cells[14], cells[15] = xlsx.Str(xlsx.TextRight, "not priced"), xlsx.Str(xlsx.Bad, buy.State)
			if buy.State == "" {
				cells[14], cells[15] = xlsx.Str(xlsx.TextRight, "none to buy"), xlsx.Str(xlsx.Text, "on hand")
			}
			cells[taxCol] = xlsx.Str(xlsx.Key, buy.Mark)
			p.Row(cells...)
		}
	}
	p.Finish("MaterialLines", firstRow-1, len(lineHeads), 2)
	cells := make([]xlsx.Cell, len(lineHeads))
	for i := range cells {
		cells[i] = xlsx.Blank(xlsx.TotalText)
	}
	cells[0] = xlsx.Str(xlsx.TotalText, "Materials")
	cells[14] = xlsx.Formula(formula.SumOf("O", firstRow, w.lastLine), sum, xlsx.Total)
	copy(cells[planCol-1:], w.planSums(plans))
	w.bid["materials"] = p.Ref(p.Row(cells...), 15)
	p.Widths(18, 26, 23.5, 10, 10, 10.5, 10, 6, 9.5, 9.5, 10.5, 9.5, 7, 9, 10.5, 11, 12, 11, 10, 34, 12, 11, 12, 11, 10, 10, 11, 12)
	p.PrintCols(17)
}

// planCells say, on the first line of an item that is cut, what its plan cost at
// the run, the least that any plan could cost, and what first fit would:
// filling boards by hand, from the longest piece down.
func planCells(buy pricing.Purchase, first bool, row int) []xlsx.Cell {
	if len(buy.Plans) == 0 || !first {
		return nil
	}
	var cost, least, fit measure.UnitPrice
	for _, c := range buy.Plans {
		cost, least, fit = cost+c.Plan.Cost, least+c.Plan.Bound, fit+max(c.Plan.FirstFit, c.Plan.Cost)
	}
	return []xlsx.Cell{
		xlsx.Num(centsOf(cost), xlsx.Money), xlsx.Num(centsOf(least), xlsx.Money), xlsx.Num(centsOf(fit), xlsx.Money),
		xlsx.Formula(fmt.Sprintf("ROUND(X%d-V%d,2)", row, row), centsOf(fit)-centsOf(cost), xlsx.Money),
	}
}

// taxCells are the tax of a line where the job rounds it line by line, the mark
// of what the line's count was planned for, and the crew's account.
func (w *writer) taxCells(buy pricing.Purchase, l pricing.Line, row int) []xlsx.Cell {
	tax := measure.Money(0)
	if w.in.Book.Job.TaxByItem {
		tax = pricing.Tax(l.Extension, w.in.Book.Job.Tax)
	}
	return []xlsx.Cell{
		xlsx.Formula(fmt.Sprintf("IF(%s=\"item\",%s,0)", w.setting["tax basis"], formula.Cents(fmt.Sprintf("O%d*%s", row, w.setting["tax"]), formula.RateDecimals)), tax, xlsx.Money),
		xlsx.Str(xlsx.Key, buy.Mark), xlsx.Str(xlsx.Text, buy.Item.CostCode),
	}
}

// planSums add up the planCells of all lines.
func (w *writer) planSums(lines [][]xlsx.Cell) []xlsx.Cell {
	out := make([]xlsx.Cell, 4)
	for i := range out {
		sum := measure.Money(0)
		for _, l := range lines {
			if len(l) > 0 {
				sum += l[i].V.(measure.Money)
			}
		}
		out[i] = xlsx.Formula(formula.SumOf(formula.Column(planCol+i), firstRow, w.lastLine), sum, xlsx.Total)
	}
	return out
}

// sureWords says how sure it is that no plan costs less.
func sureWords(p cut.Plan) string {
	switch {
	case p.Proven:
		return "proven: no plan costs less"
	case p.Grid > 0 && p.GridBound == p.Cost:
		return fmt.Sprintf("proven to %s in: no plan on lengths rounded so costs less", measure.FormatInches(p.Grid, 64))
	}
	return fmt.Sprintf("the cheapest plan found; at most %s above the least", centsOf(p.Gap()))
}

// centsOf rounds an amount to the cent.
func centsOf(p measure.UnitPrice) measure.Money { return measure.Extension(1, p) }

// single reports whether a purchase is one size of pack, whose count follows
// from the need by a formula; all else is a plan.
func single(buy pricing.Purchase) bool { return !buy.Item.Cut && len(buy.Lines) == 1 }

func (w *writer) lineCells(buy pricing.Purchase, l pricing.Line) []xlsx.Cell {
	row, use := w.lineRow[l.Key()], w.useRow[buy.Item.Key]
	dim := buy.Item.Dim
	holds := w.u.Of(dim, l.Offer.Amount)
	computed := xlsx.Num(l.Computed, xlsx.Count)
	if single(buy) {
		computed = xlsx.Formula(fmt.Sprintf("ROUNDUP(ROUND(G%d/J%d,6),0)", row, row), l.Computed, xlsx.Count)
	}
	override := xlsx.Blank(xlsx.InputCount)
	if l.Override.Set {
		override.V = l.Override.V
	}
	price := xlsx.Formula(fmt.Sprintf("Prices!%s", formula.Cell(w.priceRow(l.Offer), priceCol)), l.Offer.Price, xlsx.UnitPrice)
	return append(w.needCells(buy, l.Offer.Description, l.Offer.Supplier, l.Offer.Code),
		xlsx.Str(xlsx.Text, l.Offer.Content), xlsx.Num(holds, xlsx.CountOr(dim == estimate.Each, xlsx.Number)), computed, override,
		xlsx.Formula(fmt.Sprintf("IF(L%d=\"\",K%d,L%d)", row, row, row), l.Count(), xlsx.Count), price,
		xlsx.Formula(formula.Cents(fmt.Sprintf("M%d*N%d", row, row), formula.ExtensionDecimals), l.Extension, xlsx.Money),
		w.lineState(buy, use),
		xlsx.Formula(fmt.Sprintf("IF(N%d=U%d,\"%s\",\"may no longer be cheapest\")", row, row, stateOK), stateOK, xlsx.TextWrap),
		xlsx.Formula(fmt.Sprintf("M%d*J%d", row, row), float64(l.Count())*holds, xlsx.CountOr(dim == estimate.Each, xlsx.Number)),
		xlsx.Formula(fmt.Sprintf("IF(R%d=0,0,%s)", row, formula.Cents(fmt.Sprintf("O%d*MIN(1,G%d/%s)", row, row, w.useCell("G", use)), formula.ShareDecimals)), buy.UsedOf(l), xlsx.Money),
		xlsx.Str(xlsx.Key, l.Key()), xlsx.Num(l.Offer.Price, xlsx.UnitPrice),
	)
}

// needCells are the first cells of a line: what it is, and how much of it the
// job needs.
func (w *writer) needCells(buy pricing.Purchase, what, supplier, code string) []xlsx.Cell {
	row, d := w.useRow[buy.Item.Key], buy.Item.Dim
	return []xlsx.Cell{
		xlsx.Str(xlsx.Text, buy.Item.Key), xlsx.Str(xlsx.TextWrap, what), xlsx.Str(xlsx.TextWrap, supplier), xlsx.Str(xlsx.Text, code),
		xlsx.Formula(w.useCell("D", row), w.served(buy), xlsx.CountOr(d == estimate.Each, xlsx.Number)), xlsx.Formula(w.useCell("E", row), buy.Allowance, xlsx.Percent),
		xlsx.Formula(w.useCell("F", row), w.toBuy(buy), xlsx.CountOr(d == estimate.Each, xlsx.Number)), xlsx.Str(xlsx.Text, w.u.Name(d)),
	}
}

// lineState says what an edit since the run means for a line.
func (w *writer) lineState(buy pricing.Purchase, use int) xlsx.Cell {
	if buy.State != "" {
		return xlsx.Str(xlsx.Bad, buy.State)
	}
	return xlsx.Formula(w.useCell("L", use), stateOK, xlsx.TextWrap)
}
