package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/csv"
	"encoding/xml"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// The floors below the parts of a job: the least that a program does for the same
// result, knowing nothing of rules, looks or faults.

// readFields reads every field of a CSV file.
func readFields(tb testing.TB, file string) {
	f, err := os.Open(file)
	require.NoError(tb, err)
	defer func() { _ = f.Close() }()
	_, err = csv.NewReader(f).ReadAll()
	require.NoError(tb, err)
}

// copyRows makes the rows of a takeoff that is known.
func copyRows(t estimate.Takeoff) []estimate.Requirement { return slices.Clone(t.Requirements) }

// addUp adds up what the job needs of each item and what that costs.
func addUp(t estimate.Takeoff, plan pricing.Plan) (cost measure.Money) {
	needs := map[string]int64{}
	for i := range t.Requirements {
		r := &t.Requirements[i]
		needs[r.Item] += r.Amount * t.Openings[r.Opening].Qty
	}
	for i := range plan.Purchases {
		if needs[plan.Purchases[i].Item.Key] > 0 {
			cost += plan.Purchases[i].Cost
		}
	}
	return cost
}

// nextFit cuts the pieces of every item, longest first, from the longest board,
// and begins another where one does not fit.
func nextFit(plan pricing.Plan) (boards int) {
	for _, p := range cuttings(plan) {
		pieces, longest := slices.Clone(p.Pieces), measure.Length(0)
		for _, s := range p.Stocks {
			longest = max(longest, s.Length-p.HeadTrim-p.TailTrim)
		}
		slices.SortFunc(pieces, func(a, b cut.Piece) int { return int(b.Length - a.Length) })
		room := measure.Length(0)
		for _, piece := range pieces {
			for range piece.Count {
				if room < piece.Length {
					boards, room = boards+1, longest
				}
				room -= piece.Length + p.Kerf
			}
		}
	}
	return boards
}

// cuttings returns what a plan cuts.
func cuttings(plan pricing.Plan) (out []cut.Problem) {
	for _, buy := range plan.Purchases {
		for _, c := range buy.Plans {
			out = append(out, c.Problem)
		}
	}
	return out
}

// rewriter gives a workbook's parts again: the cells of its sheets from their
// values, and all else as it stands, at the same compression.
type rewriter struct {
	parts []rewritten
	buf   []byte
	out   bytes.Buffer
	flate *flate.Writer
}

type rewritten struct {
	head, tail string // all but the rows of a sheet; of another part all is head
	rows       []sheetRow
}

type sheetRow struct {
	R      int         `xml:"r,attr"`
	Height string      `xml:"ht,attr"`
	Cells  []sheetCell `xml:"c"`
}

type sheetCell struct {
	R  string  `xml:"r,attr"`
	S  string  `xml:"s,attr"`
	T  string  `xml:"t,attr"`
	F  string  `xml:"f"`
	V  *string `xml:"v"`
	Is *struct {
		T struct {
			Space string `xml:"space,attr"`
			Text  string `xml:",chardata"`
		} `xml:"t"`
	} `xml:"is"`

	column string
	number float64
}

// newRewriter takes a workbook apart, and checks that it comes out the same.
func newRewriter(tb testing.TB, data []byte) *rewriter {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(tb, err)
	w := &rewriter{}
	w.flate, err = flate.NewWriter(&w.out, flate.BestSpeed)
	require.NoError(tb, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(tb, err)
		part, err := io.ReadAll(r)
		require.NoError(tb, err)
		p := rewritten{head: string(part)}
		if head, rows, ok := strings.Cut(p.head, "<sheetData>"); ok {
			rows, tail, _ := strings.Cut(rows, "</sheetData>")
			p.head, p.tail = head+"<sheetData>", "</sheetData>"+tail
			var sheet struct {
				Rows []sheetRow `xml:"row"`
			}
			require.NoError(tb, xml.Unmarshal([]byte("<sheetData>"+rows+"</sheetData>"), &sheet))
			p.rows = sheet.Rows
			for i := range p.rows {
				for j := range p.rows[i].Cells {
					c := &p.rows[i].Cells[j]
					c.column = strings.TrimRight(c.R, "0123456789")
					if c.V != nil && c.T == "" {
						c.number, err = strconv.ParseFloat(*c.V, 64)
						require.NoError(tb, err)
					}
				}
			}
		}
		w.parts = append(w.parts, p)
		var again bytes.Buffer
		w.part(&again, &p)
		require.True(tb, bytes.Equal(part, again.Bytes()), "the floor writes %s otherwise", f.Name)
	}
	return w
}

// bytes writes all parts into memory.
func (w *rewriter) bytes() {
	w.out.Reset()
	for i := range w.parts {
		w.flate.Reset(&w.out)
		w.part(w.flate, &w.parts[i])
		_ = w.flate.Close() // into memory
	}
}

func (w *rewriter) part(to io.Writer, p *rewritten) {
	flush := func() {
		_, _ = to.Write(w.buf) // into memory
		w.buf = w.buf[:0]
	}
	add := func(ss ...string) {
		for _, s := range ss {
			w.buf = append(w.buf, s...)
		}
		if len(w.buf) > 64<<10 {
			flush()
		}
	}
	escaped := func(s string) {
		if strings.ContainsAny(s, "&<>") {
			s = escaper.Replace(s)
		}
		add(s)
	}
	add(p.head)
	for i := range p.rows {
		r := &p.rows[i]
		row := strconv.Itoa(r.R)
		add(`<row r="`, row)
		if r.Height != "" {
			add(`" ht="`, r.Height, `" customHeight="1`)
		}
		add(`">`)
		for j := range r.Cells {
			c := &r.Cells[j]
			add(`<c r="`, c.column, row)
			if c.S != "" {
				add(`" s="`, c.S)
			}
			if c.T != "" {
				add(`" t="`, c.T)
			}
			switch {
			case c.Is != nil && c.Is.T.Space != "":
				add(`"><is><t xml:space="preserve">`)
				escaped(c.Is.T.Text)
				add(`</t></is></c>`)
			case c.Is != nil:
				add(`"><is><t>`)
				escaped(c.Is.T.Text)
				add(`</t></is></c>`)
			case c.V == nil:
				add(`"/>`)
			default:
				add(`">`)
				if c.F != "" {
					add(`<f>`)
					escaped(c.F)
					add(`</f>`)
				}
				add(`<v>`)
				if c.T == "" {
					w.buf = strconv.AppendFloat(w.buf, c.number, 'f', -1, 64)
				} else {
					escaped(*c.V)
				}
				add(`</v></c>`)
			}
		}
		add(`</row>`)
	}
	add(p.tail)
	flush()
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")
