package main

import (
	"encoding/xml"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// drawnPiece is a part of a bar on Boards: pieces of a board that lie side by side.
type drawnPiece struct {
	length  float64 // of all together, in the unit of the job
	words   string
	hatched bool
}

// listedPiece is a piece in the list of a row of Boards, or several like ones one behind
// the other, and the names of those of all boards of the row.
type listedPiece struct {
	count  int
	length string
	names  pieceNames
}

// boardRow is a row of Boards: a cutting pattern and the boards that are cut so.
type boardRow struct {
	pattern, count int
	list           []listedPiece
	bar            []drawnPiece
}

// boardRows returns the rows of Boards from the first on, with their bars.
func (b writtenBook) boardRows() (out []boardRow) {
	bars := b.bars()
	for _, c := range b.cells("Boards") {
		pattern, err := strconv.Atoi(c.value)
		if c.col != 1 || err != nil {
			continue
		}
		row := b.row("Boards", c.row)
		count, err := strconv.Atoi(row[2])
		require.NoError(b.t, err)
		out = append(out, boardRow{pattern, count, listedPieces(b.t, row[4]), bars[c.row]})
	}
	return out
}

// listedPieces reads the list of a row: "1 x 52-1/8  (W2 leg ON HOLD); 2 x 36  (W1 sill,
// spare)".
func listedPieces(t testing.TB, list string) (out []listedPiece) {
	form := regexp.MustCompile(`^(\d+) x (\S+)(?:  \((.*)\))?$`)
	for _, words := range strings.Split(list, "; ") {
		m := form.FindStringSubmatch(words)
		require.NotNil(t, m, list)
		n, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		out = append(out, listedPiece{n, m[2], strings.Split(m[3], ", ")})
	}
	return out
}

// chartXML is what a picture on Boards holds: the parts of its bars, each as a series.
type chartXML struct {
	Series []struct {
		Name   string `xml:"tx>strRef>f"`
		Values string `xml:"val>numRef>f"`
		Points []struct {
			Index   indexXML `xml:"idx"`
			Pattern struct {
				Name string `xml:"prst,attr"`
			} `xml:"spPr>pattFill"`
		} `xml:"dPt"`
		Labels []struct {
			Index indexXML `xml:"idx"`
			Words string   `xml:"tx>rich>p>r>t"`
		} `xml:"dLbls>dLbl"`
	} `xml:"chart>plotArea>barChart>ser"`
}

type indexXML struct {
	N int `xml:"val,attr"`
}

// bars returns the pieces in the bars of Boards by their rows, from the left to the right.
func (b writtenBook) bars() map[int][]drawnPiece {
	out := map[int][]drawnPiece{}
	for n := 1; ; n++ {
		part, ok := b.file.Pkg.Load(xlsx.ChartPart(n))
		if !ok {
			return out
		}
		var c chartXML
		require.NoError(b.t, xml.Unmarshal(part.([]byte), &c))
		for _, s := range c.Series {
			name, onBoards := strings.CutPrefix(s.Name, "Boards!")
			if col, row := b.place(name); !onBoards || !strings.HasPrefix(b.row("Boards", row)[col], "Part ") {
				continue // kerf, and what is left
			}
			words, hatched := map[int]string{}, map[int]bool{}
			for _, l := range s.Labels {
				words[l.Index.N] = l.Words
			}
			for _, p := range s.Points {
				hatched[p.Index.N] = strings.HasSuffix(p.Pattern.Name, "Diag")
			}
			from, to, _ := strings.Cut(strings.TrimPrefix(s.Values, "Boards!"), ":")
			col, first := b.place(from)
			_, last := b.place(to)
			for row := first; row <= last; row++ {
				label := words[row-first]
				length, err := strconv.ParseFloat(b.row("Boards", row)[col], 64)
				if err != nil {
					assert.Empty(b.t, label, "a label without a part")
					continue
				}
				out[row] = append(out[row], drawnPiece{length, label, hatched[row-first]})
			}
		}
	}
}

// place returns the column and the row of a cell.
func (b writtenBook) place(cell string) (col, row int) {
	col, row, err := excelize.CellNameToCoordinates(strings.ReplaceAll(cell, "$", ""))
	if err != nil {
		return 0, 0 // of another sheet
	}
	return col, row
}

// cutAlike divides the boards of the cutting pattern by their cutting order, and returns
// what each piece is called, by its place on them: its marks, and which are on hold.
func (j writtenJob) cutAlike(c pricing.CutPlan, l cut.Pattern) (orders [][]cut.Board, marks [][][]string) {
	var keys []string
	for _, board := range c.Plan.Boards[l.First : l.First+l.Count] {
		key := ""
		for _, i := range board.Pieces {
			key += fmt.Sprint(c.Problem.Pieces[i].Length, " ")
		}
		at := slices.Index(keys, key)
		if at < 0 {
			at = len(keys)
			keys, orders, marks = append(keys, key), append(orders, nil), append(marks, make([][]string, len(board.Pieces)))
		}
		orders[at] = append(orders[at], board)
		for place, on := range c.On(board) {
			if words := j.markWords(c, on); !slices.Contains(marks[at][place], words) {
				marks[at][place] = append(marks[at][place], words)
			}
		}
	}
	return orders, marks
}

// markWords names what is cut off as one by its marks, as a drawing does.
func (j writtenJob) markWords(c pricing.CutPlan, on []int) string {
	var marks []string
	hold := ""
	for _, k := range on {
		mark := "spare"
		if piece := c.Pieces[k]; !piece.Spare() {
			takeoff, _ := j.shop()
			mark = takeoff.Openings[piece.Opening].Mark
			if takeoff.Requirements[piece.Requirement].Held != "" {
				hold = " ON HOLD"
			}
		}
		if !slices.Contains(marks, mark) {
			marks = append(marks, mark)
		}
	}
	return strings.Join(marks, " + ") + hold
}

// boardsAreDrawnAsListed holds every bar on Boards against the list of its row and against
// the plan: the pieces in the order in which they are cut, each with its own length and
// name, hatched if it is on hold. It returns how many parts are hatched.
func (j writtenJob) boardsAreDrawnAsListed(t *testing.T) (hatched int) {
	u := estimate.UnitsOf(j.schedule.Book.Job.MM)
	rows := j.written.boardRows()
	_, plan := j.shop()
	for _, p := range plan.Purchases {
		for _, c := range p.Plans {
			for i, l := range c.Plan.Patterns {
				orders, marks := j.cutAlike(c, l)
				for k, boards := range orders {
					place := fmt.Sprintf("%s: %s, pattern %d", j.name, p.Item.Key, i+1)
					require.NotEmpty(t, rows, place)
					row := rows[0]
					rows = rows[1:]
					assert.Equal(t, []int{i + 1, len(boards)}, []int{row.pattern, row.count}, place)
					drawnAsListed(t, place, u, row, lengthsOf(c, boards[0]), marks[k])
					for _, d := range row.bar {
						if d.hatched {
							hatched++
						}
					}
				}
			}
		}
	}
	assert.Empty(t, rows, "%s: rows of no plan", j.name)
	return hatched
}

func lengthsOf(c pricing.CutPlan, b cut.Board) (out []measure.Length) {
	for _, i := range b.Pieces {
		out = append(out, c.Problem.Pieces[i].Length)
	}
	return out
}

// drawnAsListed walks along the bar of a row, its list and the pieces of a board, with
// what each is called on all boards of the row.
func drawnAsListed(t *testing.T, place string, u estimate.Units, row boardRow, lengths []measure.Length, marks [][]string) {
	t.Helper()
	var listed []listedPiece // of each piece
	for _, l := range row.list {
		listed = append(listed, slices.Repeat([]listedPiece{l}, l.count)...)
	}
	require.Len(t, listed, len(lengths), "%s: every piece is listed", place)
	at := 0
	for _, d := range row.bar {
		first, total := at, measure.Length(0)
		var names []string
		for at < len(lengths) && u.Length(total) < d.length-1e-6 {
			assert.Equal(t, listed[at].length, u.Shop(lengths[first]), place)
			total += lengths[at]
			for _, mark := range marks[at] {
				assert.True(t, listed[at].names.has(mark), "%s: %s is not among %q", place, mark, listed[at].names)
				if !slices.Contains(names, mark) {
					names = append(names, mark)
				}
			}
			at++
		}
		require.NotEmpty(t, names, "%s: %q is no piece", place, d.words)
		assert.InDelta(t, u.Length(total), d.length, 1e-6, "%s: the length of %q", place, d.words)
		assert.Equal(t, slices.ContainsFunc(names, onHold), d.hatched, "%s: %q is hatched if it is on hold", place, d.words)
		length := u.Shop(lengths[first])
		if n := at - first; n > 1 {
			length = fmt.Sprintf("%d x %s", n, length)
		}
		assert.Contains(t, []string{
			"", length, length + " " + strings.Join(names, ", "), fmt.Sprintf("%s %s +%d", length, names[0], len(names)-1),
		}, d.words, place)
	}
	assert.Equal(t, len(lengths), at, "%s: every piece is drawn", place)
}

func onHold(name string) bool { return strings.HasSuffix(name, "ON HOLD") }

// pieceNames are what pieces of a list are for: "2 W2 leg ON HOLD".
type pieceNames []string

// has reports whether a mark, on hold or not, is among the names: "W2 ON HOLD". Of what
// lies side by side on a coil the first is looked for.
func (n pieceNames) has(mark string) bool {
	first, _, _ := strings.Cut(strings.TrimSuffix(mark, " ON HOLD"), " + ")
	return slices.ContainsFunc(n, func(name string) bool {
		name = regexp.MustCompile(`^\d+ `).ReplaceAllString(name, "")
		return onHold(name) == onHold(mark) && strings.HasPrefix(name+" ", first+" ")
	})
}
