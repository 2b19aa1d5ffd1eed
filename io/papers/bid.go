// Package papers writes what goes out: workbooks that hold values only, and nothing that
// tells a cost.
package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// How a bid shows its price.
const (
	ByMark  = "mark"
	ByKind  = "kind"
	ByTotal = "total"
)

// PriceWays lists how a bid may show its price.
var PriceWays = []string{ByTotal, ByKind, ByMark}

// Bid is what a customer gets: the scope, what is in the price and what is not, and the
// price. It has no cost, markup or supplier.
type Bid struct {
	Side       compare.Side // the estimate as it stands
	Alternates []Alternate
	By         string // one of PriceWays
	Draft      bool   // something is missing: it says so in its first rows
}

// Alternate is another way to do the job, and what it changes of the price.
type Alternate struct {
	Name, What string
	Difference estimate.Maybe[measure.Money] // not set = it has no figure
}

// scopeLine is a mark, or the marks of a kind.
type scopeLine struct {
	mark  string
	count int64
	what  string
	size  string
	work  string
	by    string
	price measure.Money
}

// WriteBid returns the bid. The same input gives the same bytes.
func WriteBid(in Bid) ([]byte, error) {
	job := in.Side.Book.Job
	title := "Bid"
	if !job.Papers.Signatures {
		title = "Proposal, not a contract"
	}
	if in.Draft {
		title = "DRAFT, not to be sent: " + title
	}
	o := xlsx.New(xlsx.Properties{Title: title, Subject: "Windows and doors", Description: strings.TrimSpace("For " + job.Papers.Customer.Name)})
	o.Paper, o.Header = job.Paper, strings.TrimSpace(job.Number+"  "+job.Name)
	o.Footer = cmp.Or(job.Papers.Firm.Name, "Local code and manufacturers' instructions govern")
	p := o.AddSheet("Bid")
	w := bidWriter{in: in, job: &job, u: estimate.UnitsOf(job.MM), p: p}
	w.t = xlsx.NewTable(p, "Scope", w.columns())
	w.t.SetWidths()
	w.head(title)
	w.scope()
	w.words()
	w.price()
	w.terms()
	w.notices()
	w.signatures()
	return o.Bytes()
}

type bidWriter struct {
	in  Bid
	job *estimate.Job
	u   estimate.Units
	p   *xlsx.Sheet
	t   *xlsx.Table[scopeLine]
}

// columns have the widths of the whole page: together no more than a page takes unscaled.
func (w *bidWriter) columns() []xlsx.Column[scopeLine] {
	text := func(of func(scopeLine) string) func(scopeLine) xlsx.Cell {
		return func(l scopeLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, of(l)) }
	}
	last := xlsx.Column[scopeLine]{Head: "Furnished by", Width: 13, Cell: text(func(l scopeLine) string { return l.by })}
	if w.in.By != ByTotal {
		last = xlsx.Column[scopeLine]{Head: "Price", Width: 13, Cell: func(l scopeLine) xlsx.Cell { return xlsx.Num(l.price, xlsx.Money) }}
	}
	return []xlsx.Column[scopeLine]{
		{Head: "Mark", Width: 11, Cell: text(func(l scopeLine) string { return l.mark })},
		{Head: "Count", Width: 7, Cell: func(l scopeLine) xlsx.Cell { return xlsx.Num(l.count, xlsx.Count) }},
		{Head: "What", Width: 20, Cell: text(func(l scopeLine) string { return l.what })},
		{Head: "Size", Width: 16, Cell: text(func(l scopeLine) string { return l.size })},
		{Head: "Work", Width: 27, Cell: text(func(l scopeLine) string { return l.work })},
		last,
	}
}

// line writes a label and words, where there are any.
func (w *bidWriter) line(label, words string) {
	if words == "" {
		return
	}
	w.t.Line(xlsx.Span{From: "Mark", To: "Count", Cell: xlsx.Str(xlsx.Text, label)}, xlsx.Span{From: "What", To: w.last(), Cell: xlsx.Str(xlsx.TextWrap, words)})
}

func (w *bidWriter) last() string {
	if w.in.By != ByTotal {
		return "Price"
	}
	return "Furnished by"
}

func words(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "  |  ")
}

func day(d estimate.Maybe[measure.Date]) string {
	if !d.Set {
		return ""
	}
	return d.V.String()
}

// head says who bids for whom, where.
func (w *bidWriter) head(title string) {
	papers := w.job.Papers
	w.p.Row(xlsx.Str(xlsx.Title, cmp.Or(papers.Firm.Name, title)))
	license := ""
	if papers.License != "" {
		license = "License " + papers.License
	}
	if under := words(papers.Firm.Address, papers.Firm.Phone, papers.Firm.Email, license); under != "" {
		w.p.Row(xlsx.Str(xlsx.Subtitle, under))
	}
	w.p.Skip(1)
	if papers.Firm.Name != "" || w.in.Draft {
		w.p.Row(xlsx.Str(xlsx.Section, title))
	}
	w.line("Job", words(w.job.Number, w.job.Name))
	w.line("Date", day(w.job.Date))
	w.line("Valid until", day(papers.ValidUntil))
	w.line("For", words(papers.Customer.Name, papers.Customer.Address, papers.Customer.Phone, papers.Customer.Email))
	w.line("Site", words(papers.Site.Address, papers.Site.Contact, papers.Site.Access))
}

// lines are the scope: a line a mark, or a line a kind.
func (w *bidWriter) lines() (lines []scopeLine) {
	shares := compare.PriceShares(w.in.Side)
	of := map[string]int{}
	if w.in.By == ByKind {
		for _, s := range shares {
			i, known := of[string(s.Kind)]
			if !known {
				i = len(lines)
				of[string(s.Kind)], lines = i, append(lines, scopeLine{what: string(s.Kind), size: "as listed by mark", work: "as listed by mark"})
			}
			l := &lines[i]
			l.count, l.price = l.count+s.Count, l.price+s.Price
			l.mark = strings.TrimPrefix(l.mark+", "+s.Mark, ", ")
		}
		return lines
	}
	for _, s := range shares {
		i := slices.IndexFunc(w.in.Side.Takeoff.Openings, func(o estimate.Sized) bool {
			return strings.EqualFold(o.Mark, s.Mark) || o.Piece > 0 && strings.HasPrefix(o.Mark, s.Mark+" piece ")
		})
		o := &w.in.Side.Takeoff.Openings[i]
		lines = append(lines, scopeLine{mark: s.Mark, count: s.Count, what: whatIs(o), size: w.u.Size(o.Frame), work: workAt(o), by: string(o.FurnishedBy), price: s.Price})
	}
	return lines
}

// whatIs says what a mark is.
func whatIs(o *estimate.Sized) string {
	out := string(o.Kind)
	if o.Opens != "" {
		out += ", " + o.Opens
	} else if o.Operation != "" {
		out += ", " + string(o.Operation)
	}
	if o.Shape != "" && o.Shape != estimate.ShapeRectangle {
		out += ", " + string(o.Shape)
	}
	if o.Units > 1 {
		out += fmt.Sprintf(", %d units", o.Units)
	}
	return out
}

// workAt says what is done at a mark.
func workAt(o *estimate.Sized) string {
	out := "flashing, seals"
	if o.Pan != "" && o.Pan != estimate.PanNone {
		out = string(o.Pan) + " sill pan, " + out
	}
	if o.Layout != estimate.NoTrim {
		return out + ", exterior trim"
	}
	return out
}

func (w *bidWriter) scope() {
	w.p.Skip(1)
	w.p.Row(xlsx.Str(xlsx.Section, "Scope"))
	unit := "inches"
	if w.job.MM {
		unit = "millimeters"
	}
	w.t.Banner(xlsx.Note, fmt.Sprintf("Sizes of frames in %s, width first.", unit))
	w.t.HeaderOnly()
	for _, l := range w.lines() {
		w.t.Row(l)
	}
}

// list parts a text of the job's.
func list(text string) (parts []string) {
	for _, part := range strings.Split(text, ";") {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return parts
}

// furnished returns the marks whose units somebody furnishes.
func (w *bidWriter) furnished(by estimate.FurnishedBy) string {
	var marks []string
	for i := range w.in.Side.Takeoff.Openings {
		if o := &w.in.Side.Takeoff.Openings[i]; o.FurnishedBy == by && o.Piece == 0 {
			marks = append(marks, o.Mark)
		}
	}
	return strings.Join(marks, ", ")
}

// words say what is in the price and what is not.
func (w *bidWriter) words() {
	papers := w.job.Papers
	var in, out []string
	if marks := w.furnished(estimate.ByBuilder); marks != "" {
		in = append(in, "windows and doors of "+marks)
	}
	if marks := w.furnished(estimate.ByInstaller); marks != "" {
		in = append(in, "windows and doors, installed, of "+marks)
	}
	in = append(in, "material for the work listed")
	if w.in.Side.HasLabor() {
		in = append(in, "labor")
	}
	if marks := w.furnished(estimate.ByOwner); marks != "" {
		out = append(out, "windows and doors of "+marks+": by owner")
	}
	for _, buy := range w.in.Side.Plan.Purchases {
		if buy.Owner != nil {
			out = append(out, buy.Item.Name+": by owner")
		}
	}
	bullets := func(head string, lines []string) {
		if len(lines) == 0 {
			return
		}
		w.p.Skip(1)
		w.p.Row(xlsx.Str(xlsx.Section, head))
		for _, l := range lines {
			w.t.Line(xlsx.Span{From: "Mark", To: w.last(), Cell: xlsx.Str(xlsx.TextWrap, l)})
		}
	}
	bullets("In the price", append(in, list(papers.Included)...))
	bullets("Not in the price", append(out, list(papers.NotIncluded)...))
	bullets("Allowances, for what is not chosen yet", list(papers.Allowances))
	bullets("Unit prices for damage that is found once the wall is open", list(papers.HiddenDamage))
}

// amount writes a label and an amount.
func (w *bidWriter) amount(label string, m measure.Money, text, look xlsx.Look) {
	w.t.Line(xlsx.Span{From: "Mark", To: "Work", Cell: xlsx.Str(text, label)}, xlsx.Span{From: w.last(), Cell: xlsx.Num(m, look)})
}

func (w *bidWriter) price() {
	bid := w.in.Side.Plan.Bid
	w.p.Skip(1)
	from := w.p.Row(xlsx.Str(xlsx.Section, "Price, "+w.job.Currency))
	if w.job.Papers.TaxLine {
		w.amount("Before sales tax", bid.Total-bid.Tax, xlsx.Text, xlsx.Money)
		w.amount("Sales tax", bid.Tax, xlsx.Text, xlsx.Money)
	}
	w.amount(oneOf(w.job.Papers.TaxLine, "Price", "Price, taxes in it"), bid.Total, xlsx.TotalText, xlsx.Total)
	if len(w.in.Alternates) > 0 {
		w.p.Skip(1)
		w.p.Row(xlsx.Str(xlsx.Section, "Alternates: added to or deducted from the price"))
		for _, a := range w.in.Alternates {
			cell := xlsx.Str(xlsx.TextRight, "on request")
			if a.Difference.Set {
				cell = xlsx.Num(a.Difference.V, xlsx.Money)
			}
			w.t.Line(xlsx.Span{From: "Mark", To: "Work", Cell: xlsx.Str(xlsx.TextWrap, a.Name+": "+a.What)}, xlsx.Span{From: w.last(), Cell: cell})
		}
	}
	w.p.KeepTogether(from, w.p.Next())
}

func oneOf(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

// terms are the firm's own words.
func (w *bidWriter) terms() {
	papers := w.job.Papers
	w.p.Skip(1)
	w.p.Row(xlsx.Str(xlsx.Section, "Terms"))
	w.line("Payments", strings.Join(list(papers.Payments), "\n"))
	w.line("Work starts", day(papers.Starts))
	w.line("Work ends", day(papers.Ends))
	w.line("Warranty", papers.Warranty)
	w.line("Insurance", papers.Insurance)
	w.line("Debris", papers.Debris)
	w.line("Permits", papers.Permits)
	if papers.LeadSafe != "" {
		w.line("Lead paint", "lead-safe certification "+papers.LeadSafe)
	} else if papers.LeadNotCovered != "" {
		w.line("Lead paint", "not covered, because "+papers.LeadNotCovered)
	}
	w.line("Other", papers.Terms)
	w.t.Banner(xlsx.Note, "Sizes are measured on site before anything is cut. What is hidden and found later is a change, in writing before its work.")
}

// notices stand word for word, in bold and at their own size.
func (w *bidWriter) notices() {
	for _, n := range w.job.Papers.Notices {
		if n == "" {
			continue
		}
		w.p.Skip(1)
		w.t.Line(xlsx.Span{From: "Mark", To: w.last(), Cell: xlsx.Str(xlsx.Notice, n), Bare: true})
	}
}

// signatureHeight leaves room to write by hand.
const signatureHeight = 30

// signatures are lines for both to fill in by hand, where the firm asks for them.
func (w *bidWriter) signatures() {
	w.p.Skip(1)
	if !w.job.Papers.Signatures {
		w.t.Banner(xlsx.Note, "This is a proposal, and no contract.")
		return
	}
	from := w.p.Next()
	w.t.Line(xlsx.Span{From: "Mark", To: "What", Cell: xlsx.Str(xlsx.Section, "Customer"), Bare: true},
		xlsx.Span{From: "Size", To: w.last(), Cell: xlsx.Str(xlsx.Section, "Contractor"), Bare: true})
	for _, label := range []string{"Signature", "Name", "Date"} {
		w.p.Height(w.t.Line(xlsx.Span{From: "Mark", To: "What", Cell: xlsx.Str(xlsx.Text, label)},
			xlsx.Span{From: "Size", To: w.last(), Cell: xlsx.Str(xlsx.Text, label)}), signatureHeight)
	}
	w.p.KeepTogether(from, w.p.Next())
}

// Lacks returns what a bid may not go out without.
func Lacks(s compare.Side, errors int) []string {
	lacks := slices.DeleteFunc(s.NotIn(), func(g string) bool { return g == pricing.WasOnHand || g == pricing.MaterialsByOwner })
	if s.Plan.Invented() > 0 {
		lacks = append(lacks, "invented prices are in it")
	}
	if errors > 0 {
		lacks = append(lacks, fmt.Sprintf("%d errors on Checks", errors))
	}
	if open := s.Book.Job.LeadOpen(); open != "" {
		lacks = append(lacks, open)
	}
	return lacks
}

// Blanks returns what a bid says nothing of, for nobody has typed it.
func Blanks(job *estimate.Job) (blanks []string) {
	papers := &job.Papers
	for _, b := range []struct {
		what   string
		filled bool
	}{
		{"firm name", papers.Firm.Name != ""}, {"license or registration number", papers.License != ""}, {"insurance", papers.Insurance != ""},
		{"customer", papers.Customer.Name != ""}, {"site address", papers.Site.Address != ""}, {"bid valid until", papers.ValidUntil.Set},
		{"payment schedule", papers.Payments != ""}, {"lead-safe certification", papers.LeadSafe != "" || papers.LeadNotCovered != ""},
		{"notices: right to cancel, lien", slices.ContainsFunc(papers.Notices[:], func(n string) bool { return n != "" })},
	} {
		if !b.filled {
			blanks = append(blanks, b.what)
		}
	}
	return blanks
}
