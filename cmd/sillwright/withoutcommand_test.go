package main

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Files without a command, as they are dropped on the program: a schedule is
// estimated beside itself, of others it is said what can be done.
func TestFilesWithoutCommand(t *testing.T) {
	inTemp(t)
	write(t, "prices.csv", ownPrices(t))
	write(t, "my job.csv", oneWindow)
	write(t, "windows.csv", theirWindows)
	write(t, "pieces.csv", "length,count\n84,2\n")
	write(t, "notes.csv", "we meet,on Monday\n")
	write(t, "terms.csv", "Supplier,Delivery,Lead days\nNorth Yard,45,2\n")
	write(t, "year/job.csv", "no workbook")
	succeed(t, "estimate", "my job.csv", "--prices", "prices.csv", "--out", "bids")
	succeed(t, "order", "bids/my job-estimate.xlsx", "--out", "orders")
	orders := listing(t, "orders")
	require.NotEmpty(t, orders)

	r := sillwright("my job.csv", "prices.csv")
	assert.Equal(t, exitOK, r.code, r.stderr)
	assert.Contains(t, r.stdout, "my job-estimate.xlsx")
	assert.Contains(t, listing(t, "."), "my job-estimate.xlsx", "beside the schedule")
	assert.Contains(t, r.stderr, "prices.csv: note: it is used as the price list")
	priced := read(t, "my job-estimate.xlsx")
	require.NoError(t, os.Remove("my job-estimate.xlsx"))
	r = sillwright("my job.csv")
	assert.Contains(t, r.stderr, "prices.csv: note: it is used as the price list", "it lies beside the schedule")
	assert.True(t, priced == read(t, "my job-estimate.xlsx"))

	for _, c := range []struct{ file, says string }{
		{"prices.csv", "prices.csv: note: it is a price list or a quote"},
		{"bids/my job-estimate.xlsx", `it is an estimate (write its orders: sillwright order "bids/my job-estimate.xlsx"; `},
		{orders[0], "note: it is an order (see what a later estimate needs"},
		{"windows.csv", "windows.csv: note: it is a list of openings in another form (turn it into a schedule: sillwright import windows.csv)"},
		{"pieces.csv", "pieces.csv: note: it is a list of pieces to cut (plan the cutting: sillwright cut pieces.csv --stock STOCK.csv)"},
		{"notes.csv", "notes.csv: error: it is nothing that this program reads"},
		{"year", "sillwright: error: no schedule found"},
		{"nowhere.xlsx", `sillwright: error: there is no file "nowhere.xlsx" (check the name and the folder)`},
	} {
		before := listing(t, ".")
		r := sillwright(c.file)
		assert.Contains(t, r.stderr, c.says)
		assert.NotEqual(t, exitOK, r.code, "nothing is written: %s", c.file)
		assert.Equal(t, before, listing(t, "."), c.file)
	}

	require.NoError(t, os.Remove("my job-estimate.xlsx"))
	r = sillwright("my job.csv", "notes.csv")
	assert.Equal(t, exitIncomplete, r.code, "one of two")
	r = sillwright("my job.csv", "--prices", "prices.csv")
	assert.Equal(t, exitUsage, r.code)
	assert.Contains(t, r.stderr, "--prices needs a command in front of the files (sillwright estimate my job.csv --prices prices.csv)")
}

func TestNearestCommandAndFlag(t *testing.T) {
	for _, c := range []struct{ args, says string }{
		{"estimat x.xlsx", `sillwright: error: no command "estimat" (did you mean estimate?)`},
		{"frobnicate", `sillwright: error: no command "frobnicate" (sillwright help lists the commands)`},
		{"estimate x.xlsx --price y.csv", "sillwright estimate: error: unknown flag --price (did you mean --prices?)"},
		{"estimate x.xlsx --price=y.csv", "sillwright estimate: error: unknown flag --price (did you mean --prices?)"},
		{"estimate x.xlsx --frobnicate", "sillwright estimate: error: unknown flag --frobnicate (sillwright help estimate lists the flags)"},
		{"estimate x.xlsx --jobs many", `sillwright estimate: error: --jobs cannot be "many" (sillwright help estimate says what it takes)`},
		{"estimate x.xlsx --prices", "sillwright estimate: error: --prices needs a value (sillwright help estimate says which)"},
		{"estimate x.xlsx --force=perhaps", `sillwright estimate: error: --force cannot be "perhaps"`},
		{"--prices y.csv estimate x.xlsx", "sillwright: error: --prices stands before the command"},
		{"--version", "sillwright: error: unknown flag --version (sillwright help lists the flags)"},
		{"help estimat", `sillwright: error: no help on "estimat" (did you mean estimate?)`},
		{"help cuting", `sillwright: error: no help on "cuting" (did you mean cutting?)`},
	} {
		r := sillwright(strings.Fields(c.args)...)
		assert.Equal(t, exitUsage, r.code, c.args)
		assert.Contains(t, r.stderr, c.says, c.args)
		assert.Empty(t, r.stdout, c.args)
	}
}

func TestHelpTopics(t *testing.T) {
	all := succeed(t).stdout
	assert.Equal(t, all, succeed(t, "help").stdout)
	assert.Equal(t, all, succeed(t, "--help").stdout)
	names := topics()
	for _, name := range []string{"import", "suppliers", "compare", "cutting", "workbook", "units"} {
		require.Contains(t, names, name)
		text := succeed(t, "help", name).stdout
		assert.Contains(t, text, topic(name))
		title, _, _ := strings.Cut(topic(name), "\n")
		assert.NotEmpty(t, title)
		assert.Contains(t, all, title, "help lists it")
		assert.NotContains(t, topic(name), "`")
		assert.False(t, strings.HasPrefix(topic(name), "#"), name)
	}
	text := succeed(t, "help", "import").stdout
	assert.Contains(t, text, "--basis", "of one name, the command and the topic")
	assert.NotContains(t, succeed(t, "import", "--help").stdout, topic("import"))
	assert.NotContains(t, all, "default: false")
}

func TestMarkdownText(t *testing.T) {
	assert.Equal(t, "Title\n\nSay --out, twice.\n\n  sillwright cut `x`\n\n    kept as it is\n",
		markdownText("# Title\n\nSay `--out`, **twice**.\n\n```console\nsillwright cut `x`\n```\n\n    kept as it is\n"))
}

// One line keeps the window open; the program goes on when a key comes, or the end
// of the input.
func TestWaitForKey(t *testing.T) {
	for _, typed := range []string{"\n", ""} {
		var said strings.Builder
		waitForKey(strings.NewReader(typed), &said)
		assert.Equal(t, "\nPress Enter to close this window.", said.String())
	}
}

// A list of 72 like rows with one fault is one line.
func TestAlikeMessages(t *testing.T) {
	inTemp(t)
	list := "Mark,Kind,Frame width,Frame height,Supplied by\n"
	for i := range 72 {
		list += strings.ReplaceAll("W#,porthole,36,60,owner\n", "#", strings.Repeat("1", i+1))
	}
	write(t, "metro.csv", list+"X,window,36,60,owner\n")
	write(t, "own.csv", ownPrices(t))
	r := sillwright("check", "metro.csv", "--prices", "own.csv", "--problems", "all.csv")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Equal(t, 1, strings.Count(r.besideAsides(), "\n"), r.stderr)
	assert.Contains(t, r.stderr, `metro.csv: lines 2 to 73 (72 rows), Kind: error: Kind "porthole" `)
	assert.Equal(t, 1+72, strings.Count(asides.ReplaceAllString(read(t, "all.csv"), ""), "\n"), "the file of problems has each")
}
