package workbook

import (
	"fmt"
	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/pricing"
	"strconv"
)

var useHeads = []string{"Item", "Name", "Unit", "Need", "Allowance", "To buy", "Bought", "Cost", "Used", "Not used", "Need at the run", "State"}

// useSheet writes how much of each item the openings use, and what is bought
// and not used: the bridge between Materials and the costs of the openings.
func (w *writer) useSheet() {
	p := w.use
	w.top(p, "Bought and used", "How much of each item is needed, bought and used. What the openings use is shared over the rows of Takeoff."+w.moneyWords())
	p.Row(xlsx.Strs(xlsx.Heading, useHeads...)...)
	for _, buy := range w.in.Plan.Purchases {
		p.Row(w.useCells(buy)...)
	}
	p.Finish("MaterialUse", firstRow-1, len(useHeads), 1)
	p.Widths(20, 34, 7, 12, 11, 12, 12, 11, 11, 11, 16, 20)
}

// useCell refers to a cell of Bought and used.
func (w *writer) useCell(col string, row int) string {
	return w.use.Quoted + "!" + col + strconv.Itoa(row)
}

func (w *writer) useCells(buy pricing.Purchase) []xlsx.Cell {
	row, d := w.useRow[buy.Item.Key], buy.Item.Dim
	rows := len(w.in.Takeoff.Requirements)
	needF := "0"
	if rows > 0 {
		needF = fmt.Sprintf("SUMIF(Takeoff!$E$%d:$E$%d,A%d,Takeoff!$K$%d:$K$%d)", firstRow, firstRow+rows-1, row, firstRow, firstRow+rows-1)
	}
	need := w.served(buy)
	allowance := xlsx.Num(buy.Allowance, xlsx.Percent)
	if at, ok := w.setting["allowance "+buy.Item.Allowance]; ok && buy.Allowance > 0 {
		allowance = xlsx.Formula(at, buy.Allowance, xlsx.Percent)
	}
	toBuy := xlsx.Formula(fmt.Sprintf("D%d*(1+E%d)", row, row), w.toBuy(buy), xlsx.CountOr(d == estimate.Each, xlsx.Number))
	switch {
	case buy.Item.Cut:
		toBuy = xlsx.Num(w.toBuy(buy), xlsx.CountOr(d == estimate.Each, xlsx.Number)) // the plan's: pieces, laps and spares
	case d == estimate.Each:
		toBuy.F = fmt.Sprintf("ROUNDUP(ROUND(D%d*(1+E%d),6),0)", row, row)
	}
	bought := w.sumLines("R", row)
	cost := w.sumLines("O", row)
	used := w.sumLines("S", row)
	state := xlsx.Str(xlsx.Text, stateOK)
	if !single(buy) {
		state = xlsx.Formula(fmt.Sprintf("IF(ROUND(D%d-K%d,4)=0,\"%s\",\"%s\")", row, row, stateOK, runAgain), stateOK, xlsx.TextWrap)
	}
	if buy.State != "" {
		state = xlsx.Str(xlsx.Bad, buy.State)
	}
	return []xlsx.Cell{
		xlsx.Str(xlsx.Text, buy.Item.Key), xlsx.Str(xlsx.TextWrap, buy.Item.Name), xlsx.Str(xlsx.Text, w.u.Name(d)),
		xlsx.Formula(needF, need, xlsx.CountOr(d == estimate.Each, xlsx.Number)), allowance, toBuy,
		xlsx.Formula(bought, w.u.Of(d, buy.Bought), xlsx.CountOr(d == estimate.Each, xlsx.Number)), xlsx.Formula(cost, buy.Cost, xlsx.Money), xlsx.Formula(used, buy.Used, xlsx.Money),
		xlsx.Formula(fmt.Sprintf("ROUND(H%d-I%d,2)", row, row), buy.Unused, xlsx.Money),
		xlsx.Num(need, xlsx.CountOr(d == estimate.Each, xlsx.Number)), state,
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

// toBuy returns the need with its allowance, worked out as the cell does.
func (w *writer) toBuy(buy pricing.Purchase) float64 {
	if buy.Item.Cut || buy.Item.Dim == estimate.Each {
		return w.u.Of(buy.Item.Dim, buy.ToBuy)
	}
	return w.u.Of(buy.Item.Dim, buy.Need) * (1 + float64(buy.Allowance)/1e6)
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
