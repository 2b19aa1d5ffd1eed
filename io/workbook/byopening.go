package workbook

import (
	"fmt"
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"slices"
)

// byOpeningSheet writes what each mark costs, by class; its materials and what
// is bought and not used make up the job's.
func (w *writer) byOpeningSheet() {
	p, t := w.byOpening, &w.in.Takeoff
	w.top(p, "By opening", "What each mark costs, all of its openings together; the rows and 'bought, not used' make up the job's materials to the cent."+w.moneyWords())
	heads := append([]string{"Mark", "Kind", "Qty", "Frame"}, estimate.Classes...)
	firstClass := 5
	matCol := firstClass + len(estimate.Classes)
	heads = append(heads, "Materials", "Materials each", "Units", "Held", "Supplied by", "Detail", "Sill pan", "Rough opening", "Opening from", "Perimeter each, "+w.u.Far(), "Area each, "+w.u.Name(estimate.Areawise), "Joined units", "Element", "Materials and unit", "In the picture")
	p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	sums := make([]measure.Money, len(estimate.Classes)+1)
	units := measure.Money(0)
	for i := range t.Openings {
		row, o := p.Next(), &t.Openings[i]
		cells := []xlsx.Cell{
			xlsx.Str(xlsx.Text, o.Mark), xlsx.Str(xlsx.Text, string(o.Kind)), xlsx.Formula(w.qtyCell(i), o.Qty, xlsx.Count), xlsx.Str(xlsx.TextRight, w.u.Size(o.Frame)),
		}
		byClass := map[string]measure.Money{}
		b := w.blocks[i]
		for row := b[0]; row > 0 && row <= b[1]; row++ {
			k := row - firstRow
			item, _ := w.in.Book.Items.Get(t.Requirements[k].Item)
			byClass[item.Class] += w.in.Plan.Share[k]
		}
		sum := measure.Money(0)
		for c, class := range estimate.Classes {
			f := "0"
			if b[0] > 0 {
				f = fmt.Sprintf("SUMIF(Takeoff!$R$%d:$R$%d,%s$%d,Takeoff!$L$%d:$L$%d)", b[0], b[1], formula.Column(firstClass+c), firstRow-1, b[0], b[1])
			}
			cells = append(cells, xlsx.Formula(f, byClass[class], xlsx.Money))
			sums[c] += byClass[class]
			sum += byClass[class]
		}
		sums[len(estimate.Classes)] += sum
		cells = append(cells, xlsx.Formula(fmt.Sprintf("SUM(%s)", formula.Range(row, firstClass, row, matCol-1)), sum, xlsx.Money))
		each := measure.Money(measure.MulDiv(int64(sum), 1, o.Qty))
		cells = append(cells, xlsx.Formula(formula.Cents(fmt.Sprintf("%s/C%d", formula.Cell(row, matCol), row), formula.ShareDecimals), each, xlsx.Money))
		whole := sum
		switch {
		case o.SuppliedBy == "owner":
			cells = append(cells, xlsx.Str(xlsx.TextRight, "owner's"))
		default:
			at := w.openingCell(i, "Unit cost")
			cost := xlsx.Num(notStated, xlsx.Money)
			if o.UnitCost.Set {
				cost.V = o.UnitCost.V * measure.Money(o.Qty)
				units += o.UnitCost.V * measure.Money(o.Qty)
				whole += o.UnitCost.V * measure.Money(o.Qty)
			}
			cost.F = fmt.Sprintf("IF(%s=\"\",\"%s\",ROUND(%s*C%d,2))", at, notStated, at, row)
			cells = append(cells, cost)
		}
		cells = append(cells, xlsx.Str(xlsx.TextWrap, w.heldWords[i]), xlsx.Str(xlsx.Text, o.SuppliedBy), xlsx.Str(xlsx.Text, o.DetailName), xlsx.Str(xlsx.Text, o.Pan),
			xlsx.Str(xlsx.TextRight, w.u.Size(o.Rough)), xlsx.Str(xlsx.Text, o.RoughFrom), xlsx.Num(w.u.FarOf(o.Frame.Perimeter()), xlsx.Number), xlsx.Num(w.u.Of(estimate.Areawise, int64(o.Frame.Area())), xlsx.Number), xlsx.Num(o.Units, xlsx.Count), xlsx.Str(xlsx.Text, estimate.Element(o.Kind)))
		p.Row(append(cells, markBar(row, matCol, len(cells)+1, o, whole)...)...)
	}
	last := p.Next() - 1
	p.Finish("OpeningCosts", firstRow-1, len(heads), 1)
	sumCells := func(label string, of func(c int) xlsx.Cell) {
		cells := make([]xlsx.Cell, len(heads))
		for i := range cells {
			cells[i] = xlsx.Blank(xlsx.TotalText)
		}
		cells[0] = xlsx.Str(xlsx.TotalText, label)
		for c := firstClass; c <= matCol; c++ {
			cells[c-1] = of(c)
		}
		p.Row(cells...)
	}
	sumCells("Used by the openings", func(c int) xlsx.Cell {
		f := "0"
		if last >= firstRow {
			f = fmt.Sprintf("SUM(%s)", formula.Range(firstRow, c, last, c))
		}
		return xlsx.Formula(f, sums[c-firstClass], xlsx.Total)
	})
	usedRow := p.Next() - 1
	if last >= firstRow {
		p.Set(usedRow, matCol+2, xlsx.Formula(fmt.Sprintf("SUM(%s)", formula.Range(firstRow, matCol+2, last, matCol+2)), units, xlsx.Total))
		qty := int64(0)
		for _, o := range t.Openings {
			qty += o.Qty
		}
		p.Set(usedRow, 3, xlsx.Formula(fmt.Sprintf("SUM(%s)", formula.Range(firstRow, 3, last, 3)), qty, xlsx.TotalCount))
	}
	unused := func(label string, f string, v measure.Money) int {
		sumCells(label, func(c int) xlsx.Cell {
			if c == matCol {
				return xlsx.Formula(f, v, xlsx.Total)
			}
			return xlsx.Blank(xlsx.TotalText)
		})
		return p.Next() - 1
	}
	unusedRow := unused("Bought, not used", w.useTotal("J"), w.in.Plan.Unused)
	totalRow := unused("Materials of the job", fmt.Sprintf("%s+%s", formula.Cell(usedRow, matCol), formula.Cell(unusedRow, matCol)), w.in.Plan.Materials)
	p.Widths(append(append([]float64{8, 13, 5, 17}, slices.Repeat([]float64{9.5}, len(estimate.Classes))...), 11, 11, 11, 30)...)
	p.PrintCols(matCol + 3)
	w.markPictures(matCol, len(heads), last)
	for c := range estimate.Classes {
		w.bid[classCell+estimate.Classes[c]] = w.byOpening.Ref(usedRow, firstClass+c)
	}
	w.bid["not used"] = w.byOpening.Ref(unusedRow, matCol)
	w.bid["by opening"] = w.byOpening.Ref(totalRow, matCol)
	w.bid["units"] = w.byOpening.Ref(usedRow, matCol+2)
	w.bid["qty"] = w.byOpening.Ref(usedRow, 3)
	w.bid["supplied column"] = w.byOpening.Range(firstRow, matCol+4, max(last, firstRow), matCol+4)
	w.bid["units column"] = w.byOpening.Range(firstRow, matCol+2, max(last, firstRow), matCol+2)
	w.bid["qty column"] = w.byOpening.Range(firstRow, 3, max(last, firstRow), 3)
	w.bid["perimeter column"] = w.byOpening.Range(firstRow, matCol+9, max(last, firstRow), matCol+9)
	w.bid["area column"] = w.byOpening.Range(firstRow, matCol+10, max(last, firstRow), matCol+10)
	w.bid["joined column"] = w.byOpening.Range(firstRow, matCol+11, max(last, firstRow), matCol+11)
	w.bid["kind column"] = w.byOpening.Range(firstRow, 2, max(last, firstRow), 2)
	w.bid["shares"] = w.byOpening.Ref(usedRow, matCol)
}

// notStated stands where a unit belongs in the price and has no cost.
const notStated = "not stated"

// heldWords says of each opening what of it waits.
func heldWords(holds []estimate.Hold) map[int]string {
	out := map[int]string{}
	for _, h := range holds {
		words := h.What + ": " + h.Why
		if out[h.Opening] != "" {
			words = out[h.Opening] + "; " + words
		}
		out[h.Opening] = words
	}
	return out
}

// markBar are the last cells of a row of By opening, from a column on: materials
// and units of a mark, and its name in the picture, which says that sum.
func markBar(row, matCol, col int, o *estimate.Sized, whole measure.Money) []xlsx.Cell {
	f := fmt.Sprintf("SUM(%s,%s)", formula.Cell(row, matCol), formula.Cell(row, matCol+2))
	name := fmt.Sprintf("A%d&\" x \"&C%d&\":  \"&TEXT(%s,\"0\")", row, row, formula.Cell(row, col))
	units := measure.MulDiv(int64(whole), 1, 100) // half a unit up, as TEXT does
	return []xlsx.Cell{xlsx.Formula(f, whole, xlsx.Money), xlsx.Formula(name, fmt.Sprintf("%s x %d:  %d", o.Mark, o.Qty, units), xlsx.Text)}
}

// Of By opening, the marks of one picture, and how many pictures at most.
const (
	mostMarks        = 25
	mostMarkPictures = 6
)

// markPictures draws what each mark costs; barCol is the column of the names.
func (w *writer) markPictures(matCol, barCol, last int) {
	p := w.byOpening
	most := min(last, firstRow-1+mostMarks*mostMarkPictures)
	for first := firstRow; first <= most; first += mostMarks {
		end, begin := min(most, first+mostMarks-1), p.Next()
		p.Skip(1)
		p.Row(xlsx.Str(xlsx.Section, "What each mark costs, all of its openings, "+w.in.Book.Job.Currency))
		series := func(col int, fill string) xlsx.BarSeries {
			return xlsx.BarSeries{Name: p.Ref(firstRow-1, col), Values: p.Range(first, col, end, col), Fill: fill}
		}
		p.DrawBars(xlsx.BarChart{
			Width: xlsx.PixelsOf(p.Width[:matCol+2]), Size: 13, About: "What each mark costs: materials and units", Bars: p.Range(first, barCol, end, barCol),
			Series: []xlsx.BarSeries{series(matCol, xlsx.MoneyFill), series(matCol+2, xlsx.PartFills[0])}, Format: xlsx.FormatCount, Legend: true,
		}, end-first+1)
		p.KeepTogether(begin, p.Next())
	}
	if last > most {
		p.Row(xlsx.Str(xlsx.Note, fmt.Sprintf("Drawn are the first %d of %d marks.", most-firstRow+1, last-firstRow+1)))
	}
}
