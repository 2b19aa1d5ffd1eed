package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
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

var useHeads = []string{"Item", "Name", "Unit", "Need", "Allowance", "To buy", "Bought", "Cost", "Used", "Not used", "Need at the run", "State"}

// materialsSheet writes what to buy, a row a pack size, board length or roll.
func (w *writer) materialsSheet() {
	p := w.materials
	w.top(p, "Materials", "What to buy. Type a count in Override to change it; a price is changed on Prices. Items that are cut are planned on real lengths: at the right what the plan cost at the run, the least that any could, and what filling boards by hand would."+w.moneyWords())
	p.row(strs(heading, lineHeads...)...)
	sum, plans := measure.Money(0), [][]cell{}
	for _, buy := range w.in.Plan.Purchases {
		for i, l := range buy.Lines {
			plan := planCells(buy, i == 0, p.next())
			plans = append(plans, plan)
			cells := slices.Grow(w.lineCells(buy, l), len(lineHeads))[:len(lineHeads)]
			copy(cells[planCol-1:], plan)
			copy(cells[taxCol-1:], w.taxCells(buy, l, p.next()))
			p.row(cells...)
			sum += l.Extension
		}
		if len(buy.Lines) == 0 {
			cells := make([]cell, len(lineHeads))
			copy(cells, w.needCells(buy, buy.Item.Name, "", ""))
			cells[14], cells[15] = str(textRight, "not priced"), str(bad, buy.State)
			if buy.State == "" {
				cells[14], cells[15] = str(textRight, "none to buy"), str(text, "on hand")
			}
			cells[taxCol] = str(key, buy.Fingerprint)
			p.row(cells...)
		}
	}
	p.finish("MaterialLines", firstRow-1, len(lineHeads), 2)
	cells := make([]cell, len(lineHeads))
	for i := range cells {
		cells[i] = blank(totalText)
	}
	cells[0] = str(totalText, "Materials")
	cells[14] = formula(sumOf("O", firstRow, w.lastLine), sum, total)
	copy(cells[planCol-1:], w.planSums(plans))
	w.bid["materials"] = p.ref(p.row(cells...), 15)
	p.widths(18, 26, 23.5, 10, 10, 10.5, 10, 6, 9.5, 9.5, 10.5, 9.5, 7, 9, 10.5, 11, 12, 11, 10, 34, 12, 11, 12, 11, 10, 10, 11, 12)
	p.printCols(17)
}

// planCells say, on the first line of an item that is cut, what its plan cost at
// the run, the least that any plan could cost, and what first fit would:
// filling boards by hand, from the longest piece down.
func planCells(buy pricing.Purchase, first bool, row int) []cell {
	if len(buy.Plans) == 0 || !first {
		return nil
	}
	var cost, least, fit measure.UnitPrice
	for _, c := range buy.Plans {
		cost, least, fit = cost+c.Plan.Cost, least+c.Plan.Bound, fit+max(c.Plan.FirstFit, c.Plan.Cost)
	}
	return []cell{
		num(centsOf(cost), money), num(centsOf(least), money), num(centsOf(fit), money),
		formula(fmt.Sprintf("ROUND(X%d-V%d,2)", row, row), centsOf(fit)-centsOf(cost), money),
	}
}

// taxCells are the tax of a line where the job rounds it line by line, the mark
// of what the line's count was planned for, and the crew's account.
func (w *writer) taxCells(buy pricing.Purchase, l pricing.Line, row int) []cell {
	tax := measure.Money(0)
	if w.in.Book.Job.TaxByItem {
		tax = pricing.Tax(l.Extension, w.in.Book.Job.Tax)
	}
	return []cell{
		formula(fmt.Sprintf("IF(%s=\"item\",%s,0)", w.setting["tax basis"], cents(fmt.Sprintf("O%d*%s", row, w.setting["tax"]), rateDecimals)), tax, money),
		str(key, buy.Fingerprint), str(text, buy.Item.CostCode),
	}
}

// planSums add up the planCells of all lines.
func (w *writer) planSums(lines [][]cell) []cell {
	out := make([]cell, 4)
	for i := range out {
		sum := measure.Money(0)
		for _, l := range lines {
			if len(l) > 0 {
				sum += l[i].v.(measure.Money)
			}
		}
		out[i] = formula(sumOf(column(planCol+i), firstRow, w.lastLine), sum, total)
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

// useSheet writes how much of each item the openings use, and what is bought
// and not used: the bridge between Materials and the costs of the openings.
func (w *writer) useSheet() {
	p := w.use
	w.top(p, "Bought and used", "How much of each item is needed, bought and used. What the openings use is shared over the rows of Takeoff."+w.moneyWords())
	p.row(strs(heading, useHeads...)...)
	for _, buy := range w.in.Plan.Purchases {
		p.row(w.useCells(buy)...)
	}
	p.finish("MaterialUse", firstRow-1, len(useHeads), 1)
	p.widths(20, 34, 7, 12, 11, 12, 12, 11, 11, 11, 16, 20)
}

// useCell refers to a cell of Bought and used.
func (w *writer) useCell(col string, row int) string {
	return w.use.quoted + "!" + col + itoa(row)
}

func sumOf(col string, first, last int) string {
	if last < first {
		return "0"
	}
	return fmt.Sprintf("SUM(%s%d:%s%d)", col, first, col, last)
}

// single reports whether a purchase is one size of pack, whose count follows
// from the need by a formula; all else is a plan.
func single(buy pricing.Purchase) bool { return !buy.Item.Cut && len(buy.Lines) == 1 }

func (w *writer) lineCells(buy pricing.Purchase, l pricing.Line) []cell {
	row, use := w.lineRow[l.Key()], w.useRow[buy.Item.Key]
	dim := buy.Item.Dim
	holds := w.u.of(dim, l.Offer.Amount)
	computed := num(l.Computed, count)
	if single(buy) {
		computed = formula(fmt.Sprintf("ROUNDUP(ROUND(G%d/J%d,6),0)", row, row), l.Computed, count)
	}
	override := blank(inputCount)
	if l.Override.Set {
		override.v = l.Override.V
	}
	price := formula(fmt.Sprintf("Prices!%s", ref(w.priceRow(l.Offer), priceCol)), l.Offer.Price, unitPrice)
	return append(w.needCells(buy, l.Offer.Description, l.Offer.Supplier, l.Offer.Code),
		str(text, l.Offer.Content), num(holds, amountLook(dim)), computed, override,
		formula(fmt.Sprintf("IF(L%d=\"\",K%d,L%d)", row, row, row), l.Count(), count), price,
		formula(cents(fmt.Sprintf("M%d*N%d", row, row), extensionDecimals), l.Extension, money),
		w.lineState(buy, use),
		formula(fmt.Sprintf("IF(N%d=U%d,\"%s\",\"may no longer be cheapest\")", row, row, stateOK), stateOK, textWrap),
		formula(fmt.Sprintf("M%d*J%d", row, row), float64(l.Count())*holds, amountLook(dim)),
		formula(fmt.Sprintf("IF(R%d=0,0,%s)", row, cents(fmt.Sprintf("O%d*MIN(1,G%d/%s)", row, row, w.useCell("G", use)), shareDecimals)), buy.UsedOf(l), money),
		str(key, l.Key()), num(l.Offer.Price, unitPrice),
	)
}

// needCells are the first cells of a line: what it is, and how much of it the
// job needs.
func (w *writer) needCells(buy pricing.Purchase, what, supplier, code string) []cell {
	row, d := w.useRow[buy.Item.Key], buy.Item.Dim
	return []cell{
		str(text, buy.Item.Key), str(textWrap, what), str(textWrap, supplier), str(text, code),
		formula(w.useCell("D", row), w.served(buy), amountLook(d)), formula(w.useCell("E", row), buy.Allowance, percent),
		formula(w.useCell("F", row), w.toBuy(buy), amountLook(d)), str(text, w.u.name(d)),
	}
}

// lineState says what an edit since the run means for a line.
func (w *writer) lineState(buy pricing.Purchase, use int) cell {
	if buy.State != "" {
		return str(bad, buy.State)
	}
	return formula(w.useCell("L", use), stateOK, textWrap)
}

// toBuy returns the need with its allowance, worked out as the cell does.
func (w *writer) toBuy(buy pricing.Purchase) float64 {
	if buy.Item.Cut || buy.Item.Dim == estimate.Each {
		return w.u.of(buy.Item.Dim, buy.ToBuy)
	}
	return w.u.of(buy.Item.Dim, buy.Need) * (1 + float64(buy.Allowance)/1e6)
}

// served returns the need of an item less the rows that no stock serves.
func (w *writer) served(buy pricing.Purchase) float64 {
	need := buy.Need
	for _, i := range buy.TooLong {
		r := w.in.Takeoff.Requirements[i]
		need -= r.Amount * w.in.Takeoff.Openings[r.Opening].Qty
	}
	return w.u.of(buy.Item.Dim, need)
}

func (w *writer) useCells(buy pricing.Purchase) []cell {
	row, d := w.useRow[buy.Item.Key], buy.Item.Dim
	rows := len(w.in.Takeoff.Requirements)
	needF := "0"
	if rows > 0 {
		needF = fmt.Sprintf("SUMIF(Takeoff!$E$%d:$E$%d,A%d,Takeoff!$K$%d:$K$%d)", firstRow, firstRow+rows-1, row, firstRow, firstRow+rows-1)
	}
	need := w.served(buy)
	allowance := num(buy.Allowance, percent)
	if at, ok := w.setting["allowance "+buy.Item.Allowance]; ok && buy.Allowance > 0 {
		allowance = formula(at, buy.Allowance, percent)
	}
	toBuy := formula(fmt.Sprintf("D%d*(1+E%d)", row, row), w.toBuy(buy), amountLook(d))
	switch {
	case buy.Item.Cut:
		toBuy = num(w.toBuy(buy), amountLook(d)) // the plan's: pieces, laps and spares
	case d == estimate.Each:
		toBuy.f = fmt.Sprintf("ROUNDUP(ROUND(D%d*(1+E%d),6),0)", row, row)
	}
	bought := w.sumLines("R", row)
	cost := w.sumLines("O", row)
	used := w.sumLines("S", row)
	state := str(text, stateOK)
	if !single(buy) {
		state = formula(fmt.Sprintf("IF(ROUND(D%d-K%d,4)=0,\"%s\",\"%s\")", row, row, stateOK, runAgain), stateOK, textWrap)
	}
	if buy.State != "" {
		state = str(bad, buy.State)
	}
	return []cell{
		str(text, buy.Item.Key), str(textWrap, buy.Item.Name), str(text, w.u.name(d)),
		formula(needF, need, amountLook(d)), allowance, toBuy,
		formula(bought, w.u.of(d, buy.Bought), amountLook(d)), formula(cost, buy.Cost, money), formula(used, buy.Used, money),
		formula(fmt.Sprintf("ROUND(H%d-I%d,2)", row, row), buy.Unused, money),
		num(need, amountLook(d)), state,
	}
}

// sumLines sums a column of Materials over the lines of the item in a row of
// Bought and used.
func (w *writer) sumLines(col string, row int) string {
	return fmt.Sprintf("SUMIF(Materials!$A$%d:$A$%d,A%d,Materials!$%s$%d:$%s$%d)", firstRow, w.lastLine, row, col, firstRow, col, w.lastLine)
}

// useTotal sums a column of Bought and used.
func (w *writer) useTotal(col string) string {
	if w.lastUse < firstRow {
		return "0"
	}
	return fmt.Sprintf("SUM(%s:%s%d)", w.useCell(col, firstRow), col, w.lastUse)
}
