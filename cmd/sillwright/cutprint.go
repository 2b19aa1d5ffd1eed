package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/cutlist"
)

// printCutting prints a plan: how the boards are cut, what they cost, and what
// is known of the cost. The last line is for programs.
func printCutting(w io.Writer, c cutlist.Cutting) {
	if len(c.Plan.Boards) > 0 {
		printColumns(w, patternRows(c), "Stock", "Pieces")
		fmt.Fprintln(w)
		printColumns(w, stockRows(c), "Stock")
		fmt.Fprintln(w)
	}
	for _, line := range slices.Concat([]string{sawLine(c)}, usedLines(c), costLines(c), notCutLines(c)) {
		fmt.Fprintln(w, line)
	}
	p := c.Plan
	fmt.Fprintf(w, "result boards=%d cost=%s bound=%s proven=%t\n", len(p.Boards), c.Price(p.Cost), c.Price(p.Bound), p.Proven)
}

func patternRows(c cutlist.Cutting) [][]string {
	rows := [][]string{{"Pattern", "Boards", "Stock", "Length", "Offcut", "Pieces"}}
	for k, l := range c.Layouts() {
		b := c.Plan.Boards[l.Boards[0]]
		s := c.Stocks[b.Stock]
		pieces := make([]string, len(l.Runs))
		for i, r := range l.Runs {
			pieces[i] = fmt.Sprintf("%d x %s", r.Count, c.PieceWords(r.Piece))
		}
		rows = append(rows, []string{fmt.Sprint(k + 1), fmt.Sprint(len(l.Boards)), s.Name, c.Words(s.Length), c.Words(b.Offcut), strings.Join(pieces, "; ")})
	}
	return withoutEmpty(rows, 2)
}

// stockRows lists the stock from the longest, with what the plan takes of it.
func stockRows(c cutlist.Cutting) [][]string {
	rows := [][]string{{"Stock", "Length", "Boards", "Price", "Cost", "Remaining"}}
	order := make([]int, len(c.Stocks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(c.Stocks[j].Length, c.Stocks[i].Length) })
	boards := c.Boards()
	for _, i := range order {
		s, unused := c.Stocks[i], ""
		if s.Available >= 0 {
			unused = fmt.Sprintf("%d of %d", s.Available-boards[i], s.Available)
		}
		cost := s.Price * measure.UnitPrice(boards[i])
		rows = append(rows, []string{s.Name, c.Words(s.Length), fmt.Sprint(boards[i]), c.Price(s.Price), c.Price(cost), unused})
	}
	return withoutEmpty(withoutEmpty(rows, 5), 0)
}

// withoutEmpty drops a column that says nothing in any row but the header.
func withoutEmpty(rows [][]string, col int) [][]string {
	if slices.ContainsFunc(rows[1:], func(r []string) bool { return r[col] != "" }) {
		return rows
	}
	for i := range rows {
		rows[i] = slices.Delete(rows[i], col, col+1)
	}
	return rows
}

func sawLine(c cutlist.Cutting) string {
	unit := map[string]string{"in": "inches", "mm": "millimeters"}[c.UnitWord()]
	return fmt.Sprintf("Lengths are in %s. Kerf %s, end trim %s.", unit, c.Words(c.Problem.Kerf), c.Words(c.Problem.HeadTrim))
}

// usedLines say what becomes of the boards, in shares that add up to 100 %.
func usedLines(c cutlist.Cutting) []string {
	var stock, pieces, offcuts, trim measure.Length
	for _, b := range c.Plan.Boards {
		stock += c.Stocks[b.Stock].Length
		offcuts += b.Offcut
		trim += c.Problem.HeadTrim + c.Problem.TailTrim
		for _, i := range b.Pieces {
			pieces += c.Pieces[i].Length
		}
	}
	if stock == 0 {
		return nil
	}
	kerf := stock - pieces - offcuts - trim
	share := measure.Shares(100_00, []int64{int64(pieces), int64(offcuts), int64(kerf), int64(trim)})
	return []string{fmt.Sprintf("Used %s %%, offcuts %s %%, kerf %s %%, end trim %s %%. Longest offcut %s.",
		share[0], share[1], share[2], share[3], c.Words(c.Plan.LongestOffcut))}
}

// costLines say how good the plan is.
func costLines(c cutlist.Cutting) []string {
	p := c.Plan
	var lines []string
	if saved := p.FirstFitCost - p.Cost; p.FirstFitCost > 0 {
		lines = append(lines, fmt.Sprintf("By hand (first fit) it costs %s; this plan saves %s (%s).",
			c.Price(p.FirstFitCost), c.Price(saved), percent(saved, p.FirstFitCost)))
	}
	switch {
	case len(p.Boards) == 0:
		return []string{"Nothing is cut."}
	case p.Proven:
		lines = append(lines, proven(c))
	default:
		lines = append(lines, fmt.Sprintf("Not proven: a plan may exist that costs up to %s (%s) less (a higher --effort may find it, or prove that there is none).",
			c.Price(p.Gap()), percent(p.Gap(), p.Cost)))
	}
	if !p.Proven && p.Grid > 0 && p.GridBound == p.Cost {
		lines = append(lines, fmt.Sprintf("Proven to %s: with every piece rounded up to that, no plan costs less.", gridWords(p.Grid)))
	}
	return lines
}

// proven says that a plan is the cheapest, of the pieces that are cut.
func proven(c cutlist.Cutting) string {
	if left := c.NotCut(); len(left) > 0 && slices.Max(left) > 0 {
		return "Proven: no plan for the pieces that are cut costs less. Not all are cut."
	}
	return "Proven: no plan for these pieces costs less."
}

func percent(part, whole measure.UnitPrice) string {
	return measure.Money(measure.MulDiv(int64(part), 100_00, int64(whole))).String() + " %"
}

// gridWords writes a unit of length as the tape has it: 1/64 in, 0.1 mm.
func gridWords(grid measure.Length) string {
	if grid%measure.SixtyFourth == 0 {
		return measure.FormatInches(grid, 64) + " in"
	}
	return measure.FormatMM(grid) + " mm"
}

// notCutLines list the pieces that no stock gives.
func notCutLines(c cutlist.Cutting) []string {
	var lines []string
	for i, n := range c.NotCut() {
		if n > 0 {
			lines = append(lines, fmt.Sprintf("Not cut: %d x %s (fits no stock that is left)", n, c.PieceWords(i)))
		}
	}
	return lines
}
