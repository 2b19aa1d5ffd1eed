package workbook

import (
	"fmt"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// RangeSeed is what the cases of a range are drawn from; Summary names it.
const RangeSeed = 1

// rangeBlock says on Summary what the job may cost, by the ranges of Job. It is of the
// run: once the price is another, it is not shown as if it were of that.
func (w *writer) rangeBlock(p *xlsx.Sheet) {
	r := w.in.Range
	if r == nil {
		return
	}
	p.Skip(1)
	from := p.Row(xlsx.Str(xlsx.Section, "How sure is the cost, "+w.in.Book.Job.Currency))
	t := xlsx.NewTable(p, "CostRange", doubtColumns)
	t.Place(p.Next(), []string{"low", "likely", "high", "estimated"})
	t.HeaderOnly()
	direct := w.bid.At("direct", "Amount").String()
	state := func(row int) { // the amount that the run found stands in the row of the estimate
		at := t.Cell(row, "State")
		at.Highlight(fmt.Sprintf(`LEFT(%s,3)="RUN"`, at.Fixed()), xlsx.Bad)
	}
	asRun := xlsx.Formula(fmt.Sprintf(`IF(AND(%s=0,%s=0,ROUND(%s-{Number@estimated},2)=0),"as of this run","RUN ESTIMATE AGAIN")`,
		w.masterLine.Cell(masterRow, "Failed"), w.masterLine.Cell(masterRow, "Stale"), direct), "as of this run", xlsx.Good)
	chance := func(i int) string {
		return fmt.Sprintf("%d of 100 cases cost no more", pricing.Chances[i]*100/measure.One)
	}
	money := func(m measure.Money) xlsx.Cell { return xlsx.Num(m, xlsx.Money) }
	for _, d := range []struct {
		key string
		doubt
	}{
		{"low", doubt{"Low", money(r.Low), asRun, chance(0)}},
		{"likely", doubt{"Likely", money(r.Likely), asRun, chance(1)}},
		{"high", doubt{"High", money(r.High), asRun, chance(2) + "; " + w.rangeWords()}},
		{"estimated", doubt{"Direct cost when estimated", money(r.Estimated), asRun, "as it is in the price, which no range changes"}},
	} {
		state(t.Keyed(d.key, d.doubt))
	}
	for i, m := range r.Moves {
		order := "moves it next"
		if i == 0 {
			order = "moves it most"
		}
		t.Row(doubt{"Job: " + m.What, money(m.Swing()), xlsx.Str(xlsx.TextCenter, order),
			fmt.Sprintf("from %s at its least to %s at its most, the others at their likeliest", m.Low, m.High)})
	}
	p.KeepTogether(from, p.Next())
}

// rangeWords say how the range was found.
func (w *writer) rangeWords() string {
	if w.in.Range.Draws == 0 {
		return "exact, for one thing differs"
	}
	return fmt.Sprintf("found from %d cases drawn by chance, seed %d", w.in.Range.Draws, RangeSeed)
}
