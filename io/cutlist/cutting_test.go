package cutlist

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// small is a cutting of two boards on which everything stands by hand.
func small(trim measure.Length) Cutting {
	pieces := []Piece{
		{Piece: cut.Piece{Length: 48 * inch, Count: 1, Label: "a", FactoryEnd: true}},
		{Piece: cut.Piece{Length: 40 * inch, Count: 2, Label: "-b", Held: true}},
		{Piece: cut.Piece{Length: 48 * inch, Count: 1, Label: "a", FactoryEnd: true}},
	}
	stocks := []Stock{{Stock: cut.Stock{Length: 144 * inch, Price: 9_5000, Available: -1}}, {Stock: cut.Stock{Length: 96 * inch, Price: 0, Available: 1}, Name: "@scrap"}}
	c := New(pieces, stocks, inch/8, trim, measure.Inches)
	c.Plan.Boards = []cut.Board{
		{Stock: 0, Pieces: []int{2, 1, 0}, Offcut: 144*inch - 2*trim - 136*inch - 3*inch/8},
		{Stock: 1, Pieces: []int{1}, Offcut: 96*inch - 2*trim - 40*inch - inch/8},
	}
	return c
}

// What stands where on a board: arithmetic.
func TestParts(t *testing.T) {
	c := small(0)
	assert.Equal(t, []Part{
		{2, 0, 48 * inch},
		{1, 48*inch + inch/8, 40 * inch},
		{Offcut, 88*inch + inch/4, 7*inch + 5*inch/8},
		{0, 96 * inch, 48 * inch},
	}, c.Parts(c.Plan.Boards[0]), "the other factory end is at 144 in")
	c = small(inch / 4)
	assert.Equal(t, []Part{
		{2, inch / 4, 48 * inch},
		{1, 48*inch + 3*inch/8, 40 * inch},
		{0, 88*inch + inch/2, 48 * inch},
		{Offcut, 136*inch + 5*inch/8, 7*inch + inch/8},
	}, c.Parts(c.Plan.Boards[0]), "what is trimmed has no factory end")
	c = small(0)
	c.Stocks[0].Price, c.Stocks[0].Available = 0, 1
	parts := c.Parts(c.Plan.Boards[0])
	assert.Equal(t, Offcut, parts[3].Piece, "nor has stock on hand one that is known")
}

func TestLayouts(t *testing.T) {
	c := small(0)
	c.Plan.Boards = append(c.Plan.Boards, cut.Board{Stock: 0, Pieces: []int{0, 1, 2}})
	assert.Equal(t, []Layout{
		{[]int{0, 2}, []Run{{2, 0}, {1, 1}}},
		{[]int{1}, []Run{{1, 1}}},
	}, c.Layouts(), "rows 1 and 3 are of one kind")

	c.Pieces[1].Length = 48 * inch
	c.Plan.Boards = []cut.Board{{Stock: 0, Pieces: []int{0, 1, 2}}, {Stock: 0, Pieces: []int{1, 0, 2}}}
	assert.Equal(t, []Layout{{[]int{0, 1}, []Run{{2, 0}, {1, 1}}}}, c.Layouts(), "pieces of one length are alike to the saw in any order")
}

func TestCSV(t *testing.T) {
	data, err := small(0).CSV()
	require.NoError(t, err)
	assert.Equal(t, "board,pattern,stock,stock length (in),price,position,part,length (in),written,label,on hold,factory end,start (in)\n"+
		"1,1,144 in,144,9.50,1,piece,48,48 in,a,,yes,0\n"+
		"1,1,144 in,144,,2,piece,40,40 in,'-b,yes,,48.125\n"+
		"1,1,144 in,144,,,offcut,7.625,7-5/8 in,,,,88.25\n"+
		"1,1,144 in,144,,3,piece,48,48 in,a,,yes,96\n"+
		"2,2,'@scrap,96,0.00,1,piece,40,40 in,'-b,yes,,0\n"+
		"2,2,'@scrap,96,,,offcut,55.875,55-7/8 in,,,,40.125\n", string(data))
}

func TestLengthsAndPricesInWords(t *testing.T) {
	in, metric := Cutting{Unit: measure.Inches}, Cutting{Unit: measure.Millimeters}
	for _, c := range []struct {
		l      measure.Length
		in, mm string
	}{
		{84*inch + inch/2, "84-1/2 in", "2146.3 mm"},
		{inch / 8, "1/8 in", "3.175 mm"},
		{914 * mm, "35.984252 in", "914 mm"},
		{inch / 64, "1/64 in", "0.396875 mm"},
		{0, "0 in", "0 mm"},
	} {
		assert.Equal(t, c.in, in.WithUnit(c.l))
		assert.Equal(t, c.mm, metric.WithUnit(c.l))
	}
	assert.Equal(t, "1234.50", in.Price(1234_5000), "no comma: programs read it")
	fine := Cutting{Stocks: []Stock{{Stock: cut.Stock{Price: 375}}}}
	assert.Equal(t, "12.5000", fine.Price(12_5000), "all prices alike")
	assert.Equal(t, "0.0375", fine.Price(375))
}

// Which pieces are left out, and what would serve: arithmetic.
func TestProblems(t *testing.T) {
	c := small(inch / 4)
	c.Pieces[0].Length = 150 * inch
	c.Stocks = append(c.Stocks, Stock{Stock: cut.Stock{Length: inch / 2, Available: -1}})
	c.Plan.Boards = []cut.Board{{Stock: 0, Pieces: []int{1}}}
	assert.Equal(t, []string{
		"1 of 1 x 48 a (factory end) are not cut, because the stock has run out (add stock of 48-1/2 in or longer, or make more available)",
		"1 of 2 x 40 -b ON HOLD are not cut, because the stock has run out (add stock of 40-1/2 in or longer, or make more available)",
		"150 a (factory end) is longer than every stock takes, which is 143-1/2 in at most (add stock of 150-1/2 in or longer, or cut the piece as two)",
		"warning: nothing is left of it between the trim of both ends (leave the row out, or cut with less --end-trim)",
	}, sorted(words(c.Problems())))
}

func sorted(s []string) []string {
	slices.Sort(s)
	return s
}
