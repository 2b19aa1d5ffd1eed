package workbook

import (
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// installWriter writes Install. Its lines keep to the columns of the steps.
type installWriter struct {
	*writer
	p *xlsx.Sheet
	t *xlsx.Table[stepRow]
}

// stepRow is a sort of thing that an opening takes in a step.
type stepRow struct {
	step  *estimate.InstallStep
	first bool // row of the step, which has its box, number and words
	stepNeed
}

// stepColumns are the columns of Install.
func stepColumns() []xlsx.Column[stepRow] {
	once := func(c xlsx.Cell, r stepRow) xlsx.Cell {
		if !r.first {
			return xlsx.Cell{}
		}
		return c
	}
	return []xlsx.Column[stepRow]{
		{Key: "Tick", Width: 5, Cell: func(r stepRow) xlsx.Cell { return once(xlsx.Blank(xlsx.Tick), r) }},
		{Head: "Step", Width: 6.5, Cell: func(r stepRow) xlsx.Cell { return once(xlsx.Str(xlsx.BigCount, r.step.Number), r) }},
		{Head: "Work", Width: 37.5, Cell: func(r stepRow) xlsx.Cell { return once(xlsx.Str(xlsx.Big, r.step.Do), r) }},
		{Head: "For", Width: 10, Cell: func(r stepRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.marks) }},
		{Head: "Material", Width: 20, Cell: func(r stepRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.item) }},
		{Head: "Each opening", Width: 9, Cell: func(r stepRow) xlsx.Cell {
			if r.amount <= 0 {
				return xlsx.Blank(xlsx.Number)
			}
			return xlsx.Num(r.shown, xlsx.CountOr(r.dim == estimate.Each, xlsx.Number))
		}},
		{Head: "Unit or size", Width: 20, Cell: func(r stepRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.of) }},
	}
}

// installSheet writes the steps of every detail and phase, for the clipboard on
// site, each with what one opening takes.
func (w *writer) installSheet(p *xlsx.Sheet) {
	p.Landscape(false)
	w.top(p, "Install", "The steps in order, by detail and phase, with what ONE opening of each mark takes. Tick what is done.")
	s := w.newInstall(p)
	for _, phase := range estimate.Phases {
		if whole := estimate.WholePhase(w.work, phase); phase != estimate.PhaseShop && len(whole.Openings) > 0 {
			s.cautions(whole)
		}
	}
	for _, in := range w.work {
		begin := p.Next()
		s.head(in)
		for _, step := range in.Steps {
			first := p.Next()
			s.step(in, step)
			p.KeepTogether(first, p.Next())
		}
		end := s.t.Banner(xlsx.Big, governs)
		if words := sourceWords(in.Steps); words != "" {
			s.t.Banner(xlsx.Fine, "Sources by step.  "+words)
		}
		p.KeepTogether(end, p.Next())
		p.KeepTogether(begin, p.Next())
		p.Skip(1)
	}
	if len(w.work) == 0 {
		s.t.Line(xlsx.Span{From: "Tick", Cell: xlsx.Str(xlsx.Text, "Nothing to install.")})
	}
	s.t.KeepHeader()
	s.t.PrintOnly()
	w.readings, _ = w.drawnLines(p, &s.t.Grid, "ReadingsDrawing", readingsDrawing)
}

// newInstall begins the steps below what is written.
func (w *writer) newInstall(p *xlsx.Sheet) *installWriter {
	s := &installWriter{writer: w, p: p, t: xlsx.NewTable(p, "InstallSteps", stepColumns())}
	s.p.Height(s.t.Header(), xlsx.HeadingHeight(2))
	return s
}

// cautions writes what can hurt in a phase, once for all details.
func (s *installWriter) cautions(whole estimate.Install) {
	begin := s.p.Next()
	s.t.Banner(xlsx.BigHead, "Cautions: "+phaseNames[whole.Phase])
	for _, words := range s.installCautions(whole) {
		s.t.Banner(xlsx.TextWrap, "CAUTION  "+words)
	}
	s.p.KeepTogether(begin, s.p.Next())
	s.p.Skip(1)
}

// head writes what the work is, for which openings, and what was read of the sills.
func (s *installWriter) head(in estimate.Install) {
	s.t.Banner(xlsx.BigHead, in.Detail+": "+phaseNames[in.Phase])
	s.t.Banner(xlsx.Big, "For "+s.openingWords(in))
	if list := s.fetchWords(in); len(list) > 0 {
		s.t.Banner(xlsx.Big, "Fetch for all of them: "+strings.Join(list, "; ")+".")
	}
	if in.Phase == estimate.PhaseShop {
		s.t.Line(xlsx.Span{From: "Tick", Cell: xlsx.Str(xlsx.Text, "Sizes:")}, xlsx.Span{From: "Step", Cell: xlsx.Blank(xlsx.Text)},
			xlsx.Span{From: "Work", Cell: xlsx.LinkToSheet("Frames", "see the cards on Frames")})
		return
	}
	if in.Phase != estimate.PhaseInstall {
		return
	}
	for _, o := range in.Openings {
		for _, c := range o.Sills {
			s.sentence("1", sillWords(s.u, s.in.Takeoff.Openings[o.Opening], c))
		}
	}
}

// sentence writes a line of work that runs to the edge.
func (s *installWriter) sentence(number, words string) {
	s.t.Line(xlsx.Span{From: "Tick", Cell: xlsx.Blank(xlsx.Tick)}, xlsx.Span{From: "Step", Cell: xlsx.Str(xlsx.BigCount, number)},
		xlsx.Span{From: "Work", To: "Unit or size", Cell: xlsx.Str(xlsx.Big, words)})
}

// step writes a step: a row for each sort of thing that an opening takes.
func (s *installWriter) step(in estimate.Install, step estimate.InstallStep) {
	if step.NoMaterial {
		words := step.Do
		if !step.All {
			words = s.stepMarks(in, step.For) + ": " + words
		}
		s.sentence(step.Number, words)
		return
	}
	for i, need := range s.stepNeeds(in, step) {
		s.t.Row(stepRow{step: &step, first: i == 0, stepNeed: need})
	}
}
