package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/cutlist"
)

// micro is a millionth of an inch or millimeter, or of the currency.
type micro int64

func micros(t testing.TB, s string) micro {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return micro(math.Round(v * 1e6))
}

// length returns a length as the plan writes it in decimals.
func (m micro) String() string { return strconv.FormatFloat(float64(m)/1e6, 'f', -1, 64) }

// cutStock is what a plan may use: a length by its name in the plan.
type cutStock struct {
	length, price micro
	limit         int // below 0: none
}

// cutJob is what a plan is held against. It knows nothing of how it was made.
type cutJob struct {
	kerf, trim micro
	pieces     map[string]int // "length label" -> wanted
	stock      map[string]cutStock
	left       map[string]int // of the pieces, wanted but on no board
}

// cutRow is a row of the CSV file, by header; the unit is taken off those that
// state one.
type cutRow map[string]string

func cutRows(t testing.TB, file string) []cutRow {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(read(t, file))).ReadAll()
	require.NoError(t, err)
	var rows []cutRow
	for _, fields := range lines[1:] {
		row := cutRow{}
		for i, f := range fields {
			row[strings.Fields(strings.NewReplacer(" (in)", "", " (mm)", "", " ", "_").Replace(lines[0][i]))[0]] = f
		}
		rows = append(rows, row)
	}
	return rows
}

var resultForm = regexp.MustCompile(`(?:^|\n)result boards=(\d+) cost=(\d+\.\d{2}|\d+\.\d{4}) bound=(\d+\.\d{2}|\d+\.\d{4}) proven=(true|false)\n$`)

// result returns the figures of the last line.
func result(t testing.TB, stdout string) (boards int, cost, bound micro, proven bool) {
	t.Helper()
	m := resultForm.FindStringSubmatch(stdout)
	require.NotNil(t, m, stdout)
	boards, err := strconv.Atoi(m[1])
	require.NoError(t, err)
	return boards, micros(t, m[2]), micros(t, m[3]), m[4] == "true"
}

// holds checks a written plan: each piece once, on a board that has room for it
// with every saw cut and trim, no more boards than there are, the cost summed.
func (j cutJob) holds(t testing.TB, file, stdout string) {
	t.Helper()
	left := map[string]int{}
	for p, n := range j.pieces {
		left[p] = n
	}
	used := map[string]int{}
	var cost micro
	boards, next, at, taken := 0, "", micro(0), micro(0)
	for _, r := range cutRows(t, file) {
		s, known := j.stock[r["stock"]]
		require.True(t, known, r["stock"])
		require.Equal(t, s.length, micros(t, r["stock_length"]))
		if r["board"] != next {
			boards++
			next, at, taken = strconv.Itoa(boards), j.trim, -j.kerf
			require.Equal(t, next, r["board"], "boards are counted")
			require.Equal(t, s.price, micros(t, r["price"]))
			used[r["stock"]]++
			cost += s.price
		} else {
			require.Empty(t, r["price"], "the price stands once a board")
		}
		start, length := micros(t, r["start"]), micros(t, r["length"])
		require.GreaterOrEqual(t, start, at, "%v: it begins before the last cut has ended", r)
		require.LessOrEqual(t, start+length, s.length-j.trim, "%v: it is over the end", r)
		at = start + length + j.kerf
		if r["part"] == "offcut" {
			require.Empty(t, r["position"])
			continue
		}
		require.Equal(t, "piece", r["part"])
		taken += length + j.kerf
		require.LessOrEqual(t, taken, s.length-2*j.trim, "%v", r)
		left[strings.TrimSpace(r["length"]+" "+r["label"])]--
	}
	for p, n := range left {
		require.Equal(t, j.left[p], n, "%s: on no board", p)
	}
	for name, n := range used {
		if limit := j.stock[name].limit; limit >= 0 {
			require.LessOrEqual(t, n, limit, name)
		}
	}
	said, total, bound, proven := result(t, stdout)
	assert.Equal(t, boards, said)
	assert.Equal(t, cost, total)
	assert.LessOrEqual(t, bound, total)
	assert.Equal(t, bound == total, proven)
}

const in = micro(1e6)

// paperRolls are 219 rolls of 13 widths in mm, to be cut from rolls of 5600.
const paperRolls = "length,count\n1380,22\n1520,25\n1560,12\n1710,14\n1820,18\n1880,18\n1930,20\n2000,10\n2050,12\n2100,14\n2140,16\n2150,18\n2200,20\n"

func TestCut(t *testing.T) {
	for _, c := range []struct {
		source, shows string
		pieces, stock string
		args          string
		code          int
		result        string
		stdout        string // somewhere in it
		job           cutJob
	}{
		{"arithmetic: 32 boards for the legs, and a head takes a sixth of a board at best, whether six come from one or three stand for a leg: 32 + 32 / 6",
			"legs and heads, 1/8 kerf", "length,count,label\n84,32,left leg\n32,32,head\n84,32,right leg\n", "length,price,available\n192,1,\n", "", exitOK,
			"boards=38 cost=38.00 bound=38.00 proven=true", "", cutJob{kerf: in / 8,
				pieces: map[string]int{"84 left leg": 32, "32 head": 32, "84 right leg": 32}, stock: map[string]cutStock{"192 in": {192 * in, in, -1}}}},
		{"as before: a kerf of 1/8 changes no board", "legs and heads, no kerf", "length,count,label\n84,32,left leg\n32,32,head\n84,32,right leg\n",
			"length,price,available\n192,1,\n", "--kerf 0", exitOK,
			"boards=38 cost=38.00 bound=38.00 proven=true", "", cutJob{
				pieces: map[string]int{"84 left leg": 32, "32 head": 32, "84 right leg": 32}, stock: map[string]cutStock{"192 in": {192 * in, in, -1}}}},
		{"published: data of the paper-roll example of an open encyclopaedia, optimum 73", "paper rolls, in mm",
			paperRolls, "length,price\n5600,1\n", "--units mm --kerf 0", exitOK,
			"boards=73 cost=73.00 bound=73.00 proven=true", "Lengths are in millimeters.", cutJob{
				pieces: map[string]int{"1380": 22, "1520": 25, "1560": 12, "1710": 14, "1820": 18, "1880": 18, "1930": 20, "2000": 10, "2050": 12, "2100": 14,
					"2140": 16, "2150": 18, "2200": 20},
				stock: map[string]cutStock{"5600 mm": {5600 * in, in, -1}}}},
		{"arithmetic: 48 + 1/8 + 47 3/8 = 95 1/2 = 96 - 2 x 1/4", "end trim to a hair", "length,count,label\n48,1,a\n47 3/8,1,b\n", "length,price\n96,7.5\n",
			"--end-trim 1/4", exitOK,
			"boards=1 cost=7.50 bound=7.50 proven=true", "Used 99.35 %, offcuts 0.00 %, kerf 0.13 %, end trim 0.52 %.", cutJob{kerf: in / 8, trim: in / 4,
				pieces: map[string]int{"48 a": 1, "47.375 b": 1}, stock: map[string]cutStock{"96 in": {96 * in, 75 * in / 10, -1}}}},
		{"arithmetic: 1/32 more than the hair", "end trim, a hair too long", "length,count,label\n48,1,a\n47 13/32,1,b\n", "length,price\n96,7.5\n",
			"--end-trim 1/4", exitOK,
			"boards=2 cost=15.00 bound=15.00 proven=true", "", cutJob{kerf: in / 8, trim: in / 4,
				pieces: map[string]int{"48 a": 1, "47.40625 b": 1}, stock: map[string]cutStock{"96 in": {96 * in, 75 * in / 10, -1}}}},
		{"arithmetic: 60 comes out of what is there, 100 must be bought", "what is on hand goes first", "length,count\n60,1\n100,1\n",
			"name,length,price,available\nrest,72,0,1\nboard,120,9,\n", "", exitOK,
			"boards=2 cost=9.00 bound=9.00 proven=true", "0 of 1", cutJob{kerf: in / 8,
				pieces: map[string]int{"60": 1, "100": 1}, stock: map[string]cutStock{"rest": {72 * in, 0, 1}, "board": {120 * in, 9 * in, -1}}}},
		{"arithmetic: 3 boards hold 2 each", "limited stock runs out", "length,count,label\n45,7,a\n", "length,price,available\n96,2.0375,3\n", "",
			exitIncomplete,
			"boards=3 cost=6.1125 bound=6.1125 proven=true", "Not cut: 1 x 45 a", cutJob{kerf: in / 8,
				pieces: map[string]int{"45 a": 7}, stock: map[string]cutStock{"96 in": {96 * in, 2037500, 3}}, left: map[string]int{"45 a": 1}}},
		{"arithmetic", "a piece longer than every stock", "length,count,label\n45,2,a\n192 1/64,2,ridge\n", "length,price\n96,2\n192,3\n", "--end-trim 1/2",
			exitIncomplete,
			"boards=1 cost=2.00 bound=2.00 proven=true", "Not cut: 2 x 192-1/64 ridge", cutJob{kerf: in / 8, trim: in / 2,
				pieces: map[string]int{"45 a": 2, "192.015625 ridge": 2}, stock: map[string]cutStock{"96 in": {96 * in, 2 * in, -1}},
				left: map[string]int{"192.015625 ridge": 2}}},
		{"arithmetic", "nothing can be cut", "length,count\n100,1\n", "length,price\n96,2\n", "", exitIncomplete,
			"boards=0 cost=0.00 bound=0.00 proven=true", "Nothing is cut.", cutJob{pieces: map[string]int{"100": 1}, left: map[string]int{"100": 1}}},
		{"arithmetic: the last ends at 120", "factory ends on both ends", "length,count,label,factory end\n50,2,a,yes\n10,1,b,\n", "length,price\n120,2\n",
			"", exitOK,
			"boards=1 cost=2.00 bound=2.00 proven=true", "2 x 50 a (factory end); 1 x 10 b", cutJob{kerf: in / 8,
				pieces: map[string]int{"50 a": 2, "10 b": 1}, stock: map[string]cutStock{"120 in": {120 * in, 2 * in, -1}}}},
	} {
		t.Run(c.shows, func(t *testing.T) {
			inTemp(t)
			write(t, "p.csv", c.pieces)
			write(t, "s.csv", c.stock)
			args := append([]string{"cut", "p.csv", "--stock", "s.csv", "--out", "plan.csv"}, strings.Fields(c.args)...)
			r := sillwright(args...)
			assert.Equal(t, c.code, r.code, r.stderr)
			assert.True(t, strings.HasSuffix(r.stdout, "\nresult "+c.result+"\n"), "%s\n%s", c.source, r.stdout)
			assert.Contains(t, r.stdout, c.stdout)
			c.job.holds(t, "plan.csv", r.stdout)
			plan := read(t, "plan.csv")
			again := sillwright(append(args, "--force")...)
			assert.Equal(t, r, again)
			assert.Equal(t, plan, read(t, "plan.csv"), "same input, same bytes")
		})
	}
}

// Without work there is no proof: the gap is said, and the exit is no other.
func TestCutWithoutEffort(t *testing.T) {
	inTemp(t)
	write(t, "p.csv", paperRolls)
	write(t, "s.csv", "length,price\n5600,1\n")
	r := succeed(t, "cut", "p.csv", "--stock", "s.csv", "--units", "mm", "--kerf", "0", "--effort", "1e-9")
	boards, cost, bound, proven := result(t, r.stdout)
	assert.False(t, proven)
	assert.Greater(t, boards, 73)
	assert.Less(t, bound, cost)
	assert.LessOrEqual(t, bound, 73*in, "73 rolls are known to do")
	assert.Regexp(t, `(?m)^Not proven: a plan may exist that costs up to [\d.]+ \([\d.]+ %\) less`, r.stdout)
}

// TestCutAtRandom holds plans for random lists against the checker.
func TestCutAtRandom(t *testing.T) {
	inTemp(t)
	r := rand.New(rand.NewSource(1))
	for range 40 {
		j := cutJob{kerf: micro(r.Intn(3)) * in / 8, trim: micro(r.Intn(3)) * in / 2, pieces: map[string]int{}, stock: map[string]cutStock{}}
		pieces, stock := "label,length,count\n", "name,length,price,available\n"
		for i := range 1 + r.Intn(8) {
			l, n, label := micro(1+r.Intn(40*64))*in/64, r.Intn(6), fmt.Sprintf("P%d", i%3)
			j.pieces[l.String()+" "+label] += n
			pieces += fmt.Sprintf("%s,%s,%d\n", label, l, n)
		}
		for i := range 1 + r.Intn(3) {
			s := cutStock{micro(50+r.Intn(100)) * in, micro(100+r.Intn(900)) * in / 100, -1}
			stock += fmt.Sprintf("S%d,%s,%s,\n", i, s.length, s.price)
			j.stock[fmt.Sprintf("S%d", i)] = s
		}
		stock += "rest,45,0,2\n"
		j.stock["rest"] = cutStock{45 * in, 0, 2}
		write(t, "p.csv", pieces)
		write(t, "s.csv", stock)
		out := succeed(t, "cut", "p.csv", "--stock", "s.csv", "--out", "plan.csv", "--force", "--kerf", j.kerf.String(), "--end-trim", j.trim.String())
		j.holds(t, "plan.csv", out.stdout)
	}
}

func TestCutPrints(t *testing.T) {
	inTemp(t)
	write(t, "p.csv", "length;count;label;held\r\n84-1/2\";3;\"D3 leg; \"\"left\"\"\";\r\n20;2;=sill;yes\r\n")
	write(t, "s.csv", "length,price,available\n192,12.50,\n120,8,4\n")
	r := succeed(t, "cut", "p.csv", "--stock", "s.csv")
	assert.Empty(t, r.stderr)
	// 12.50 + 8 is cheaper than three of 120, and no single board holds it all.
	assert.Equal(t, `Pattern  Boards  Length  Offcut  Pieces
      1       1     192   2-5/8  2 x 84-1/2 D3 leg; "left"; 1 x 20 =sill ON HOLD
      2       1     120  15-1/4  1 x 84-1/2 D3 leg; "left"; 1 x 20 =sill ON HOLD

Length  Boards  Price   Cost  Remaining
   192       1  12.50  12.50
   120       1   8.00   8.00     3 of 4

Lengths are in inches. Kerf 1/8, end trim 0.
Used 94.07 %, offcuts 5.73 %, kerf 0.20 %, end trim 0.00 %. Longest offcut 15-1/4.
By hand (first fit) it costs 20.50; this plan saves 0.00 (0.00 %).
Proven: no plan for these pieces costs less.
result boards=2 cost=20.50 bound=20.50 proven=true
`, r.stdout)
	assert.Equal(t, []string{"p.csv", "s.csv"}, listing(t, "."), "nothing is written without --out")
}

// Texts that a spreadsheet program would run as a formula are text wherever
// the plan says them, and read back as they were.
func TestCutFormulaText(t *testing.T) {
	inTemp(t)
	write(t, "p.csv", "length,count,label\n10,1,=1+2\n11,1,+a\n12,1,-b\n13,1,@c\n14,1,\"=a,\"\"b\"\"\"\n")
	write(t, "s.csv", "length,price,name\n96,1,=cmd\n")
	succeed(t, "cut", "p.csv", "--stock", "s.csv", "--out", "plan.csv")
	var labels []string
	for _, row := range cutRows(t, "plan.csv") {
		assert.Equal(t, "'=cmd", row["stock"])
		if row["part"] == "piece" {
			labels = append(labels, row["label"])
		}
	}
	assert.Equal(t, []string{`'=a,"b"`, "'@c", "'-b", "'+a", "'=1+2"}, labels)
}

func TestCutPlantedErrors(t *testing.T) {
	inTemp(t)
	write(t, "p.csv",
		"length,count,label,factory end\n84 1/2,2,good,\n7 11 2,1,a,\n36,,b,\n,3,c,\n40,2.5,d,\n-5,1,e,\n3-6,1,f,\n\"36,5\",1,g,\n50,1,h,maybe\n"+
			"=1+2,1,i,\n250,4,ridge,\n")
	write(t, "s.csv", "length,price,available\n192,12,\n120,,\n96,-3,\n72,\"1,5\",\n60,5,few\n")
	r := sillwright("cut", "p.csv", "--stock", "s.csv", "--out", "plan.csv")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Equal(t, []string{
		`p.csv: lines 3, 11 (2 rows), length: error: "7 11 2" (and 1 other) is not a length (write 7'-11 1/2" or 95.5)`,
		`p.csv: line 4, count: error: the count is missing (write how many are wanted)`,
		`p.csv: line 5, length: error: the length is missing (write the length of the piece)`,
		`p.csv: line 6, count: error: "2.5" is not a whole number (write digits only, such as 2)`,
		`p.csv: line 7, length: error: "-5" is negative (write it without the minus sign)`,
		`p.csv: line 8, length: error: "3-6" may be feet and inches or a range (write 3'-6", or one size)`,
		`p.csv: line 9, length: error: "36,5" has a comma (write a decimal point, and no comma for thousands: 36.5 or 1200 mm)`,
		`p.csv: line 10, factory end: error: "maybe" is neither yes nor no (write yes or no, or leave it blank for no)`,
		`p.csv: line 12, length: error: 250 ridge is longer than every stock takes, which is 192 in at most (add stock of 250 in or longer, or cut the piece as two)`,
		`s.csv: line 3, price: error: the price is missing (write the price of one, or 0 for stock on hand)`,
		`s.csv: line 4, price: error: "-3" is negative (write the price of one, or 0 for stock on hand)`,
		`s.csv: line 5, price: error: "1,5" has a comma that is not between thousands (write digits and a decimal point, such as 1,234.50)`,
		`s.csv: line 6, available: error: "few" is not a whole number (write digits only, such as 2)`,
	}, strings.Split(strings.TrimSpace(r.stderr), "\n"))
	cutJob{kerf: in / 8, pieces: map[string]int{"84.5 good": 2}, stock: map[string]cutStock{"192 in": {192 * in, 12 * in, -1}}}.holds(t, "plan.csv", r.stdout)
}

func TestCutExitCodes(t *testing.T) {
	for _, c := range []struct {
		shows  string
		args   string
		code   int
		stderr string // somewhere in it
		stdout string
	}{
		{"help", "cut --help", exitOK, "", "--end-trim"},
		{"all well", "cut p.csv --stock s.csv", exitOK, "", "result boards=1"},
		{"flags before the file", "cut --stock s.csv --kerf 3/16 --effort 0.5 p.csv", exitOK, "", "Kerf 3/16"},
		{"flags after the file", "cut p.csv --effort 2 --end-trim=1/4 --stock s.csv", exitOK, "", "end trim 1/4"},
		{"two lists of stock", "cut p.csv --stock s.csv --stock rest.csv", exitOK, "", "cost=0.00"},
		{"lists in workbooks", "cut p.xlsx --stock s.xlsx", exitOK, "", "result boards=1"},
		{"a kerf in mm", "cut p.csv --stock s.csv --kerf 4 --units mm", exitOK, "", "Kerf 4,"},
		{"after -- all are files", "cut --stock s.csv -- --odd.csv", exitOK, "", "result boards=1"},

		{"no such list", "cut nowhere.csv --stock s.csv", exitNothing, `nowhere.csv: error: there is no file`, ""},
		{"no such stock", "cut p.csv --stock nowhere.csv", exitNothing, `nowhere.csv: error: there is no file`, ""},
		{"one stock of two is not there", "cut p.csv --stock s.csv --stock nowhere.csv", exitNothing, `nowhere.csv: error: there is no file`, ""},
		{"both are not there: both are said", "cut nowhere.csv --stock never.csv", exitNothing,
			"never.csv: error: there is no file \"never.csv\" (check the name and the folder)\nnowhere.csv", ""},
		{"not a table at all", "cut noise.xlsx --stock s.csv", exitNothing, "noise.xlsx", ""},
		{"stock is no list of pieces", "cut s.csv --stock s.csv", exitNothing, `s.csv: line 1: error: the column "count" is missing`, ""},
		{"headers and no row", "cut headers.csv --stock s.csv", exitNothing, "headers.csv: error: there is no row under the headers", ""},
		{"a folder that is not there", "cut p.csv --stock s.csv --out no/plan.csv", exitNothing, "no/plan.csv: error: not written", ""},
		{"a folder of that name", "cut p.csv --stock s.csv --out folder.csv", exitNothing, "folder.csv: error: it is a folder", ""},

		{"no list", "cut --stock s.csv", exitUsage, "it needs one list of pieces", ""},
		{"two lists", "cut p.csv p.csv --stock s.csv", exitUsage, "it needs one list of pieces", ""},
		{"no stock", "cut p.csv", exitUsage, "it needs the stock", ""},
		{"effort 0", "cut p.csv --stock s.csv --effort 0", exitUsage, `--effort is "0"`, ""},
		{"effort below 0", "cut p.csv --stock s.csv --effort -1", exitUsage, `--effort is "-1"`, ""},
		{"effort no number", "cut p.csv --stock s.csv --effort NaN", exitUsage, `--effort is "NaN"`, ""},
		{"effort without end", "cut p.csv --stock s.csv --effort Inf", exitUsage, `--effort is "Inf"`, ""},
		{"effort in words", "cut p.csv --stock s.csv --effort more", exitUsage, `--effort is "more"`, ""},
		{"kerf no length", "cut p.csv --stock s.csv --kerf thin", exitUsage, `--kerf: "thin" is not a length`, ""},
		{"kerf below 0", "cut p.csv --stock s.csv --kerf -1/8", exitUsage, `--kerf: "-1/8" is negative`, ""},
		{"trim no length", "cut p.csv --stock s.csv --end-trim=", exitUsage, `--end-trim: "" is blank`, ""},
		{"a unit that is none", "cut p.csv --stock s.csv --units feet", exitUsage, `--units is "feet"`, ""},
		{"another ending", "cut p.csv --stock s.csv --out plan.pdf", exitUsage, `--out is "plan.pdf" (end it in .csv or .xlsx)`, ""},
		{"no name", "cut p.csv --stock s.csv --out=", exitUsage, `--out is ""`, ""},
		{"no such flag", "cut p.csv --stock s.csv --prices x", exitUsage, "prices", ""},
		{"flag without its value", "cut p.csv --stock", exitUsage, "stock", ""},

		{"a row left out", "cut bad.csv --stock s.csv", exitIncomplete, `bad.csv: line 3, length`, "result boards=1"},
	} {
		t.Run(c.shows, func(t *testing.T) {
			inTemp(t)
			for name, data := range map[string]string{
				"p.csv": "length,count\n36,2\n", "--odd.csv": "length,count\n36,2\n", "s.csv": "length,price\n96,5\n",
				"rest.csv": "length,price,available\n80,0,1\n",
				"bad.csv":  "length,count\n36,2\nx,1\n", "headers.csv": "length,count\n", "noise.xlsx": "PK\x03\x04 and then noise",
			} {
				write(t, name, data)
			}
			sheetsOf(t, "p.xlsx", []string{"Pieces"}, map[string][][]any{"Pieces": {{"length", "count"}, {36, 2}}})
			sheetsOf(t, "s.xlsx", []string{"Stock"}, map[string][][]any{"Stock": {{"length", "price"}, {"8 ft", 5.25}}})
			require.NoError(t, os.Mkdir("folder.csv", 0o755))
			before := listing(t, ".")
			r := sillwright(strings.Fields(c.args)...)
			assert.Equal(t, c.code, r.code, "%s%s", r.stdout, r.stderr)
			assert.Contains(t, r.stderr, c.stderr)
			assert.Contains(t, r.stdout, c.stdout)
			assert.Equal(t, before, listing(t, "."), "nothing is written")
			switch c.code {
			case exitOK:
				assert.Empty(t, r.stderr)
			case exitUsage:
				assert.True(t, strings.HasPrefix(r.stderr, "sillwright"), r.stderr)
				assert.Empty(t, r.stdout)
			case exitNothing:
				assert.Empty(t, r.stdout, "no result of what came to nothing")
			}
		})
	}
}

func TestCutTarget(t *testing.T) {
	inTemp(t)
	const pieces, stock = "length,count\n36,2\n", "length,price\n96,5\n"
	write(t, "p.csv", pieces)
	write(t, "s.csv", stock)
	write(t, "plan.csv", "what was there")
	r := sillwright("cut", "p.csv", "--stock", "s.csv", "--out", "plan.csv")
	assert.Equal(t, ran{exitNothing, "", "plan.csv: error: it exists (--force replaces it)\n"}, r)
	assert.Equal(t, "what was there", read(t, "plan.csv"))
	succeed(t, "cut", "p.csv", "--stock", "s.csv", "--out", "plan.csv", "--force")
	assert.Contains(t, read(t, "plan.csv"), "board,pattern")
	for _, input := range []string{"p.csv", "s.csv", "./p.csv"} {
		r := sillwright("cut", "p.csv", "--stock", "s.csv", "--out", input, "--force")
		assert.Equal(t, exitNothing, r.code)
		assert.Contains(t, r.stderr, "it is an input of this run, and inputs are never overwritten")
	}
	assert.Equal(t, pieces, read(t, "p.csv"))
	assert.Equal(t, stock, read(t, "s.csv"))
	assert.Equal(t, []string{"p.csv", "plan.csv", "s.csv"}, listing(t, "."), "no temporary file is left")
}

// What is said of the cost, of plans whose figures are made up.
func TestCutCostLines(t *testing.T) {
	board := []cut.Board{{Pieces: []int{0}}}
	for _, c := range []struct {
		shows string
		plan  cut.Plan
		want  []string
	}{
		{"proven", cut.Plan{Boards: board, Cost: 95_0000, Bound: 95_0000, Proven: true, FirstFitCost: 100_0000},
			[]string{"By hand (first fit) it costs 100.00; this plan saves 5.00 (5.00 %).", "Proven: no plan for these pieces costs less."}},
		{"a gap, and no first fit for all the pieces", cut.Plan{Boards: board, Cost: 80_0000, Bound: 79_0000},
			[]string{"Not proven: a plan may exist that costs up to 1.00 (1.25 %) less (a higher --effort may find it, or prove that there is none)."}},
		{"proven on a grid", cut.Plan{Boards: board, Cost: 80_0000, Bound: 79_0000, Grid: measure.SixtyFourth, GridBound: 80_0000},
			[]string{"Not proven: a plan may exist that costs up to 1.00 (1.25 %) less (a higher --effort may find it, or prove that there is none).",
				"Proven to 1/64 in: with every piece rounded up to that, no plan costs less."}},
		{"proven on a metric grid", cut.Plan{Boards: board, Cost: 80_0000, Bound: 79_0000, Grid: measure.Millimeter / 10, GridBound: 80_0000},
			[]string{"Not proven: a plan may exist that costs up to 1.00 (1.25 %) less (a higher --effort may find it, or prove that there is none).",
				"Proven to 0.1 mm: with every piece rounded up to that, no plan costs less."}},
		{"not proven on a grid either", cut.Plan{Boards: board, Cost: 80_0000, Bound: 79_0000, Grid: measure.SixtyFourth, GridBound: 79_0000},
			[]string{"Not proven: a plan may exist that costs up to 1.00 (1.25 %) less (a higher --effort may find it, or prove that there is none)."}},
	} {
		assert.Equal(t, c.want, costLines(cutlist.Cutting{Plan: c.plan, Pieces: []cutlist.Piece{{Piece: cut.Piece{Count: 1}}}}), c.shows)
	}
}
