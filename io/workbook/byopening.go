package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// openingCost is what a mark costs, all of its openings together.
type openingCost struct {
	index     int // of Takeoff.Openings
	o         *estimate.Sized
	byClass   map[string]measure.Money
	materials measure.Money
	unit      measure.Money // of all its units, as far as it is in the price
}

func (c openingCost) whole() measure.Money { return c.materials + c.unit }

// notStated stands where a unit belongs in the price and has no cost.
const notStated = "not stated"

// unitsOfMark heads what the windows and doors of a mark cost.
const unitsOfMark = "Windows and doors"

// openingColumns: a column a class of material, and what the picture is drawn from.
func (w *writer) openingColumns() []xlsx.Column[openingCost] {
	type row = openingCost
	u := w.u
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, of(r)) }
	}
	columns := []xlsx.Column[row]{
		{Head: "Mark", Width: 8, Frozen: true, Cell: text(func(r row) string { return r.o.Mark })},
		{Head: "Kind", Width: 13, Cell: text(func(r row) string { return string(r.o.Kind) })},
		{Head: "Qty", Width: 5, Cell: func(r row) xlsx.Cell { return xlsx.Formula(w.qtyCell(r.index), r.o.Qty, xlsx.Count) }},
		{Head: "Frame", Width: 17, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextRight, u.Size(r.o.Frame)) }},
	}
	for _, class := range estimate.Classes {
		columns = append(columns, xlsx.Column[row]{Head: class, Width: 9.5, Cell: func(r row) xlsx.Cell {
			if w.onlyByOwner(r.index, class) {
				return xlsx.Str(xlsx.TextRight, pricing.ByOwner)
			}
			return xlsx.Formula(w.classFormula(r.index, class), r.byClass[class], xlsx.Money)
		}})
	}
	classes := fmt.Sprintf("{%s..%s}", estimate.Classes[0], estimate.Classes[len(estimate.Classes)-1])
	return append(columns, []xlsx.Column[row]{
		{Head: "Materials", Width: 11, Cell: func(r row) xlsx.Cell { return xlsx.Formula("SUM("+classes+")", r.materials, xlsx.Money) }},
		{Head: "Materials each", Width: 11, Cell: func(r row) xlsx.Cell {
			each := measure.Money(measure.MulDiv(int64(r.materials), 1, r.o.Qty))
			return xlsx.Formula(formula.Cents("{Materials}/{Qty}", formula.ShareDecimals), each, xlsx.Money)
		}},
		{Head: unitsOfMark, Width: 11, Cell: w.unitCell},
		{Head: "On hold", Width: 30, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.heldWords[r.index]) }},
		{Head: "Furnished by", Unprinted: true, Cell: text(func(r row) string { return string(r.o.FurnishedBy) })},
		{Head: "Detail", Cell: text(func(r row) string { return r.o.DetailName })},
		{Head: "Sill pan", Cell: text(func(r row) string { return string(r.o.Pan) })},
		{Head: "Rough opening", Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextRight, u.Size(r.o.Rough)) }},
		{Head: "Opening size from", Cell: text(func(r row) string { return r.o.RoughFrom })},
		{Head: "Perimeter each, " + u.Far(), Key: "Perimeter each", Cell: func(r row) xlsx.Cell { return xlsx.Num(u.FarOf(r.o.Frame.Perimeter()), xlsx.Number) }},
		{Head: "Area each, " + u.Name(estimate.Areawise), Key: "Area each", Cell: func(r row) xlsx.Cell {
			return xlsx.Num(u.Of(estimate.Areawise, int64(r.o.Frame.Area())), xlsx.Number)
		}},
		{Head: "Mulled units", Cell: func(r row) xlsx.Cell { return xlsx.Num(r.o.Units, xlsx.Count) }},
		{Head: "UniFormat", Cell: text(func(r row) string { return estimate.Element(r.o.Kind) })},
		{Head: "Materials and unit", Cell: func(r row) xlsx.Cell {
			return xlsx.Formula("SUM({Materials},{"+unitsOfMark+"})", r.whole(), xlsx.Money)
		}},
		{Head: "Chart label", Cell: pictureName},
		{Head: "No.", Numbered: true},
	}...)
}

// classFormula adds up what the rows of an opening on Takeoff cost of a class.
func (w *writer) classFormula(opening int, class string) string {
	b := w.blocks[opening]
	if b[0] == 0 {
		return "0"
	}
	return fmt.Sprintf("SUMIF(%s,%s,%s)", w.takeoff.Rows(b[0], b[1], "Class"), w.byOpening.Head(class).FixedRow(), w.takeoff.Rows(b[0], b[1], "Cost"))
}

// unitCell is what the units of a mark cost.
func (w *writer) unitCell(r openingCost) xlsx.Cell {
	if r.o.FurnishedBy == estimate.ByOwner {
		return xlsx.Str(xlsx.TextRight, pricing.ByOwner)
	}
	cost := w.openingCell(r.index, "Unit cost")
	c := xlsx.Formula(fmt.Sprintf(`IF(%s="","%s",ROUND(%s*{Qty},2))`, cost, notStated, cost), notStated, xlsx.Money)
	if r.o.UnitCost.Set {
		c.V = r.unit
	}
	return c
}

// pictureName names a mark in the picture, with the sum of its materials and units.
func pictureName(r openingCost) xlsx.Cell {
	units := measure.MulDiv(int64(r.whole()), 1, 100) // half a unit up, as TEXT does
	return xlsx.Formula(`{Mark}&" x "&{Qty}&":  "&TEXT({Materials and unit},"0")`, fmt.Sprintf("%s x %d:  %d", r.o.Mark, r.o.Qty, units), xlsx.Text)
}

// openingCosts returns what each opening costs.
func (w *writer) openingCosts() []openingCost {
	t := &w.in.Takeoff
	rows := make([]openingCost, len(t.Openings))
	for i := range t.Openings {
		o := &t.Openings[i]
		rows[i] = openingCost{index: i, o: o, byClass: map[string]measure.Money{}}
		if o.FurnishedBy != estimate.ByOwner && o.UnitCost.Set {
			rows[i].unit = o.UnitCost.V * measure.Money(o.Qty)
		}
	}
	for i, r := range t.Requirements {
		item, _ := w.in.Book.Items.Get(r.Item)
		rows[r.Opening].byClass[item.Class] += w.in.Plan.Share[i]
	}
	for i := range rows {
		for _, class := range estimate.Classes {
			rows[i].materials += rows[i].byClass[class]
		}
	}
	return rows
}

// Labels of the sums under By opening.
const (
	usedByOpenings = "Used by the openings"
	surplusBought  = "Surplus: offcuts, part packs"
	jobMaterials   = "Materials of the job"
)

// byOpeningSheet writes what each mark costs, by class; its materials and what
// is bought and not used make up the job's.
func (w *writer) byOpeningSheet(p *xlsx.Sheet) {
	w.top(p, "By opening", "What each mark costs, all of its openings together; "+
		"the rows and the surplus add up to the job's materials to the cent."+w.moneyWords())
	w.byOpening = xlsx.NewTable(p, "OpeningCosts", w.openingColumns())
	t := w.byOpening
	t.Header()
	sums, materials, units, qty := map[string]measure.Money{}, measure.Money(0), measure.Money(0), int64(0)
	for _, r := range w.openingCosts() {
		t.Row(r)
		for class, m := range r.byClass {
			sums[class] += m
		}
		materials, units, qty = materials+r.materials, units+r.unit, qty+r.o.Qty
	}
	t.Seal()
	used := map[string]xlsx.Cell{"Materials": xlsx.Formula(t.Sum("Materials"), materials, xlsx.Total)}
	for _, class := range estimate.Classes {
		used[class] = xlsx.Formula(t.Sum(class), sums[class], xlsx.Total)
	}
	if !t.Empty() {
		used[unitsOfMark] = xlsx.Formula(t.Sum(unitsOfMark), units, xlsx.Total)
		used["Qty"] = xlsx.Formula(t.Sum("Qty"), qty, xlsx.TotalCount)
	}
	blankSums := func(f string, v measure.Money) map[string]xlsx.Cell {
		return map[string]xlsx.Cell{"Materials": xlsx.Formula(f, v, xlsx.Total)}
	}
	t.Total(usedByOpenings, used)
	t.Total(surplusBought, blankSums(w.useTotal("Surplus"), w.in.Plan.Unused))
	sum := t.At(usedByOpenings, "Materials").Local() + "+" + t.At(surplusBought, "Materials").Local()
	t.Total(jobMaterials, blankSums(sum, w.in.Plan.Materials))
	w.markPictures(p)
}

// heldWords says of each opening what of it is on hold.
func heldWords(holds []estimate.Hold) map[int]string {
	out := map[int]string{}
	for _, h := range holds {
		words := string(h.What) + ": " + h.Why
		if out[h.Opening] != "" {
			words = out[h.Opening] + "; " + words
		}
		out[h.Opening] = words
	}
	return out
}

// Of By opening, the marks of one picture, and how many pictures at most.
const (
	maxMarks        = 25
	maxMarkPictures = 6
)

// markPictures draws what each mark costs.
func (w *writer) markPictures(p *xlsx.Sheet) {
	t := w.byOpening
	most := min(t.Last(), t.First()-1+maxMarks*maxMarkPictures)
	for first := t.First(); first <= most; first += maxMarks {
		end, begin := min(most, first+maxMarks-1), p.Next()
		p.Skip(1)
		p.Row(xlsx.Str(xlsx.Section, "What each mark costs, all of its openings, "+w.in.Book.Job.Currency))
		series := func(head, fill string) xlsx.BarSeries {
			return xlsx.BarSeries{Name: t.Head(head).String(), Values: t.Rows(first, end, head).String(), Fill: fill}
		}
		p.DrawBars(xlsx.BarChart{
			Width: t.Pixels(unitsOfMark), Size: 13, About: "What each mark costs: materials, windows and doors", Bars: t.Rows(first, end, "Chart label").String(),
			Series: []xlsx.BarSeries{series("Materials", xlsx.MoneyFill), series(unitsOfMark, xlsx.PartFills[0])}, Format: xlsx.FormatCount, Legend: true,
		}, end-first+1)
		p.KeepTogether(begin, p.Next())
	}
	if t.Last() > most {
		p.Row(xlsx.Str(xlsx.Note, fmt.Sprintf("The first %d of %d marks are drawn.", most-t.First()+1, t.Last()-t.First()+1)))
	}
}

// classSums returns what the openings use of each class of materials.
func (w *writer) classSums() map[string]measure.Money {
	sums := map[string]measure.Money{}
	for i, r := range w.in.Takeoff.Requirements {
		item, _ := w.in.Book.Items.Get(r.Item)
		sums[item.Class] += w.in.Plan.Share[i]
	}
	return sums
}
