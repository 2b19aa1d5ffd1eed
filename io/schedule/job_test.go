package schedule

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/templates"
)

const oneOpening = "Mark,Kind\nW1,window"

func setting(t *testing.T, s *Schedule, key string) estimate.Setting {
	i := slices.IndexFunc(s.Settings, func(s estimate.Setting) bool { return s.Key == key })
	require.GreaterOrEqual(t, i, 0, key)
	return s.Settings[i]
}

// What ships has no problem, and the Job sheet and the fields of a job are the
// same list.
func TestShipped(t *testing.T) {
	s, ps := Shipped()
	require.Empty(t, lines(ps))
	var shipped []string
	for _, line := range s.Settings {
		shipped = append(shipped, line.Key)
		assert.NotEmpty(t, line.Meaning, line.Key)
		assert.Empty(t, line.Text, line.Key)
	}
	assert.ElementsMatch(t, estimate.SettingKeys(), shipped)
	assert.Empty(t, s.Book.Openings)
	assert.NotEmpty(t, s.Book.Details)
	assert.NotEmpty(t, s.Book.Layouts)
	for _, d := range s.Book.Details {
		n := 0
		for _, step := range s.Steps {
			if step.Fields["Detail"] == d.Name {
				n++
			}
		}
		assert.Equal(t, len(d.Steps), n, "every step of %q stands in a row of its own", d.Name)
	}
	for _, it := range s.Book.Items.List() {
		assert.NotEmpty(t, it.Name, it.Key)
		assert.NotEmpty(t, it.Class, it.Key)
	}
	board, ok := s.Book.Items.Get(s.Book.Job.Trim[estimate.Window].Head)
	require.True(t, ok)
	assert.Equal(t, in64(3*64+32), board.Width, "a 1x4 is 3/4 x 3-1/2 (PS 20)")
	assert.Equal(t, in64(48), board.Thickness)
	assert.True(t, board.Cut)
	assert.Equal(t, estimate.Lengthwise, board.Dim)
	assert.False(t, board.Site)
}

// The demo jobs, a folder a job and a CSV file a sheet, read without a word.
func TestDemo(t *testing.T) {
	jobs, err := templates.Demo.ReadDir("demo")
	require.NoError(t, err)
	require.NotEmpty(t, jobs)
	for _, job := range jobs {
		t.Run(job.Name(), func(t *testing.T) {
			files, err := templates.Demo.ReadDir("demo/" + job.Name())
			require.NoError(t, err)
			book := &sheet.Book{File: job.Name()}
			for _, f := range files {
				data, err := templates.Demo.ReadFile("demo/" + job.Name() + "/" + f.Name())
				require.NoError(t, err)
				one, ps := sheet.Parse(f.Name(), data)
				require.NotNil(t, one, "%v", ps)
				one.Sheets[0].Name = f.Name()[:len(f.Name())-len(".csv")]
				book.Sheets = append(book.Sheets, one.Sheets[0])
			}
			s, ps := Read(book)
			assert.Empty(t, lines(ps))
			assert.NotEmpty(t, checked(t, s).Book.Openings)
		})
	}
}

func TestJobValues(t *testing.T) {
	for _, tt := range []struct {
		why, key string
		value    any
		format   string
		text     string
		say      string // problem at the cell
	}{
		{"a number that is a name", "job number", 1012, "General", "1012", ""},
		{"a number of many digits", "job number", 20260014, "General", "20260014", ""},
		{"words", "Job  Name", "Plum Hill", "General", "Plum Hill", ""},
		{"a date", "job date", 46087, "d-mmm-yy", "2026-03-06", ""},
		{"a date as text", "job date", "2026-03-06", "@", "2026-03-06", ""},
		{"a date to be read two ways", "job date", "3/6/26", "@", "3/6/26",
			`job date "3/6/26" is ambiguous: day and month cannot be told apart (write year-month-day, such as 2026-11-25)`},
		{"percent format", "overhead", 0.1, "0%", "10", ""},
		{"half a percent", "overhead", 0.005, "0.0%", "0.5 %", ""},
		{"seven percent, without the noise of 0.07 x 100", "tax", 0.07, "0%", "7", ""},
		{"a plain number is in percent", "tax", 6.25, "General", "6.25", ""},
		{"a number below 1 is asked back", "tax", 0.5, "General", "0.5", `tax "0.5" may be 0.5 % or 50 % (write "0.5 %" or "50 %")`},
		{"so is one as text", "tax", "0.0825", "@", "0.0825", `tax "0.0825" may be 0.0825 % or 8.25 % (write "0.0825 %" or "8.25 %")`},
		{"text with the sign", "tax", "6.25 %", "@", "6.25 %", ""},
		{"a length", "kerf", 0.125, "General", "0.125", ""},
		{"a length as text", "kerf", "3/32", "@", "3/32", ""},
		{"a length whose format shows its unit", "stud depth", 140, `0" mm"`, "140 mm", ""},
		{"a length with spaces about it", "kerf", "  3/32 ", "@", "3/32", ""},
		{"a length below 0 is no length of 0", "kerf", -0.125, "General", "-0.125", `kerf "-0.125" is negative (write it without the minus sign)`},
		{"no length", "kerf", "thin", "@", "thin", `kerf "thin" is not a length (write 7'-11 1/2" or 95.5)`},
		{"a fraction that became a date", "kerf", 46024, "d-mmm", "2-Jan",
			`kerf holds the date "2-Jan"; 1/2 was probably typed (format the cell as text and type the size with its unit, such as 3'-6", 42 in or 1/2 in)`},
		{"below freezing", "coldest forecast", -5, "General", "-5", ""},
		{"a count", "spare boards", 2, "General", "2", ""},
		{"half a spare", "spare boards", 2.5, "General", "2.5", `spare boards "2.5" is not a whole number (write digits only, such as 2)`},
		{"words in capitals", "profit is", "MARGIN", "General", "margin", ""},
		{"paper by its proper name", "paper", "a4", "General", "A4", ""},
		{"truth value for yes", "tax units", true, "General", "yes", ""},
		{"a word that is none", "WRB", "wrapped", "General", "wrapped", `WRB "wrapped" is not known (write housewrap, integral or fluid-applied)`},
		{"an item", "Tape-Sills", "STRIP-9-forming", "General", "tape-9-flexible", ""},
		{"no item", "foam", "foam-lo", "General", "foam-lo", `foam "foam-lo" is not known (did you mean "foam-low"? write a key of the Items sheet)`},
		{"a layout", "trim window", "Three Sided", "General", "three sided", ""},
		{"no layout", "trim window", "miterd", "General", "miterd",
			`trim window "miterd" is not known (did you mean "mitered"? write head over legs, legs through, head and bottom through, mitered, three ` +
				`sided, pinwheel, sill with horns or none)`},
	} {
		t.Run(tt.why, func(t *testing.T) {
			s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Job": "Key,Value,Unit,Default,Meaning,Source\n" + tt.key + ",x"}, func(f *excelize.File) {
				style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &tt.format})
				require.NoError(t, err)
				require.NoError(t, f.SetCellValue("Job", "B2", tt.value))
				require.NoError(t, f.SetCellStyle("Job", "B2", "B2", style))
			})
			got := setting(t, s, settingWords(s.Settings)[sheet.WordKey(tt.key)])
			assert.Equal(t, tt.text, got.Text)
			assert.Equal(t, "job.xlsx: Job!B2", got.Place.String())
			if tt.say == "" {
				assert.Empty(t, ps)
				return
			}
			assert.Equal(t, []string{"job.xlsx: Job!B2: " + tt.say}, ps)
			shipped, _ := Shipped()
			got.Text = ""
			want := setting(t, shipped, got.Key)
			want.Place = got.Place
			assert.Equal(t, want, got)
			assert.Equal(t, shipped.Book.Job, s.Book.Job, "the default holds")
		})
	}
}

// The values reach the job. Arithmetic.
func TestJob(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening,
		"Job": "Key,Value\nunits,mm\nkerf,3\nstud depth,5-1/2 in\ntax,6.25\nprofit is,margin\ncoldest forecast,-5\npan slope,\ntrim window,three sided"})
	require.Empty(t, ps)
	job := s.Book.Job
	assert.Equal(t, mm(3), job.Kerf)
	assert.Equal(t, in64(5*64+32), job.Stud)
	assert.Equal(t, in64(28), job.Sheathing, "a default stays in inches")
	assert.Equal(t, measure.Rate(62_500), job.Tax)
	assert.Equal(t, measure.Rate(60_000), job.PanSlope, "a blank value is the default")
	assert.True(t, job.Margin)
	assert.Equal(t, estimate.Given(int64(-5)), job.ColdestF)
	assert.Equal(t, "three sided", job.Trim[estimate.Window].Layout)
}

func TestJobKeys(t *testing.T) {
	_, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Job": "Key,Value\nkerff,1/8\nTax:,6\ntax,7\nClearances,\n,5\nunits,metres"})
	assert.Equal(t, []string{
		`job.xlsx: Job!A2: Key "kerff" is not a setting (did you mean "kerf"? write a key of the shipped Job sheet)`,
		`job.xlsx: Job!A4: Key "tax" stands in row 3 too (keep one of the two)`,
		`job.xlsx: Job!A5: warning: Key "Clearances" is not a setting (write a key of the shipped Job sheet)`,
		`job.xlsx: Job!A6: Key is blank (write the key of the line)`,
		`job.xlsx: Job!B7: units "metres" is not known (write inches or mm)`,
	}, ps)
}

func TestCosts(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening,
		"Other costs": "Text,Count,Unit,Price,Taxable\nLift,3,day,185.50,yes\nPermit,1,,,no\nTravel,,mile,0.675,\nDump,2,load,call,no"})
	assert.Equal(t, []string{
		`job.xlsx: 'Other costs'!D3: warning: Price is blank: the line has no cost yet (write the price of one)`,
		`job.xlsx: 'Other costs'!B4: warning: Count is blank: the line has no cost yet (write how many)`,
		`job.xlsx: 'Other costs'!E4: warning: Taxable is blank: the line counts as not taxable (write yes or no)`,
		`job.xlsx: 'Other costs'!D5: Price "call" is not an amount (write digits and a decimal point, such as 1,234.50)`,
	}, ps)
	require.Len(t, s.Book.Job.Costs, 4)
	lift := s.Book.Job.Costs[0]
	lift.Place = estimate.Place{}
	assert.Equal(t, estimate.CostLine{Text: "Lift", Count: estimate.Given(int64(3)), Unit: "day", Price: estimate.Given(measure.UnitPrice(1_855_000)),
		Taxable: true}, lift)
	assert.False(t, s.Book.Job.Costs[1].Price.Set)
	assert.False(t, s.Book.Job.Costs[2].Count.Set)
	assert.False(t, s.Book.Job.Costs[3].Price.Set, "what cannot be read is missing, not 0")
}

func TestItems(t *testing.T) {
	const header = "key,name,family,class,buy,need,width,thickness,length,coverage,coverage unit,joint,waste,where,gap\n"
	shipped, _ := Shipped()
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Items": header +
		"BOARD-1x4,Cedar 1x4,trim board,boards,cut,length,89 mm,3/4,,,,no,,shop,1/8\n" +
		"copper-nail,Copper nail,,fastening,pack,each,,,1-1/2,160,lb,,Nails,,\n"})
	require.Empty(t, ps)
	assert.Len(t, s.Book.Items.List(), len(shipped.Book.Items.List())+1)
	board, _ := s.Book.Items.Get("board-1x4")
	assert.Equal(t, "Cedar 1x4", board.Name)
	assert.Equal(t, mm(89), board.Width)
	assert.Equal(t, estimate.Given(in64(8)), board.Gap, "the joint it wants")
	nail, _ := s.Book.Items.Get("copper-nail")
	assert.Equal(t, int64(160), nail.Coverage)
	assert.Equal(t, "nails", nail.Allowance)
	assert.True(t, nail.Site, "where nothing is said the cold counts")

	_, ps = readSheets(t, map[string]string{"Openings": oneOpening, "Items": header +
		"b1,Board,,boards,cut,length,,3/4,,,,no,,shop\n" +
		"b2,Board,,bords,cutt,length,3,,,5,,no,,shop\n" +
		"b2,Board,,boards,cut,length,3,,,,,maybe,paint,shop\n"})
	assert.Equal(t, []string{
		`job.xlsx: Items!G2: width is blank: the lengths of other pieces follow from it (write the actual width)`,
		`job.xlsx: Items!D3: class "bords" is not known (did you mean "boards"? write pan, tape, sealant, fastening, shims and foam, metal, boards, ` +
			`finish or door parts)`,
		`job.xlsx: Items!E3: buy "cutt" is not known (did you mean "cut"? write cut or pack)`,
		`job.xlsx: Items!K3: coverage unit is blank: coverage of what? (write lb, gal or each)`,
		`job.xlsx: Items!A4: key "b2" stands in row 3 too (keep one of the two)`,
		`job.xlsx: Items!L4: joint "maybe" is not known (write no, yes or if too long)`,
		`job.xlsx: Items!M4: waste "paint" is not known (write sealant, foam, nails, screws, shims, finish or rod)`,
	}, ps)
}

func detailNames(s *Schedule) []string {
	var names []string
	for _, d := range s.Book.Details {
		names = append(names, d.Name)
	}
	return names
}

const detailHeader = "Detail,Step,Do,Item,Rule,When,Visit\n"

// A detail named in the workbook replaces the shipped one in its place; a new
// one comes first.
func TestDetails(t *testing.T) {
	shipped, _ := Shipped()
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Details": detailHeader +
		"Overhead door; barn,0,,,,kind is overhead door,\n" +
		"overhead door; Barn,1,Bolt it,jamb-screw,points,,set\n"})
	require.Empty(t, ps)
	assert.Equal(t, append([]string{"barn"}, detailNames(shipped)...), detailNames(s))
	last := s.Book.Details[len(s.Book.Details)-1]
	require.Equal(t, "overhead door", last.Name)
	require.Len(t, last.Steps, 2, "replaced whole")
	assert.Equal(t, "Bolt it", last.Steps[1].Do)
	assert.Equal(t, "job.xlsx: Details!E3", last.Steps[1].Text.At["Rule"].String())
	assert.Equal(t, "barn", s.Steps[0].Fields["Detail"])

	// The rows that hold, written down and read again, are the same details.
	again := "Detail,Step,Do,Item,Rule,Per,Edges,Along,Each end,Runs,Size,Spacing,With,When,Phase,Basis,Source\n"
	for _, step := range s.Steps {
		for i, column := range estimate.StepColumns {
			if i > 0 {
				again += ","
			}
			again += `"` + strings.ReplaceAll(step.Fields[column], `"`, `""`) + `"`
		}
		again += "\n"
	}
	back, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Details": again})
	require.Empty(t, ps)
	assert.Equal(t, detailNames(s), detailNames(back))
	for i, step := range s.Steps {
		assert.Equal(t, withoutBlanks(step.Fields), withoutBlanks(back.Steps[i].Fields))
	}
}

func withoutBlanks(m map[string]string) map[string]string {
	m = maps.Clone(m)
	maps.DeleteFunc(m, func(_, v string) bool { return v == "" })
	return m
}

// A step that cannot be read costs its whole detail: one step short would be
// wrong without a sign.
func TestBrokenDetails(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Details": detailHeader +
		"barn,0,,,,kind is overhead door,\nbarn,1,Bolt it,bolt,points,,set\n" +
		"overhead door,0,,,,=A1,\noverhead door,1,Bolt it,jamb-screw,points,,set\n,1,Stray,,note,,set\n"})
	assert.Equal(t, []string{
		`job.xlsx: Details!D3: "bolt" is no item, family or role (write a key or family of the Items sheet, a role of the Job sheet, or a board of the trim set)`,
		`job.xlsx: Details!F4: the cell has a formula that was never calculated (open the file in your spreadsheet program and save it)`,
		`job.xlsx: Details!A6: the step belongs to no detail (write the detail's name)`,
	}, ps)
	assert.NotContains(t, detailNames(s), "barn")
	assert.NotContains(t, detailNames(s), "overhead door")
}

func TestOverrides(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Materials": "Check,0\nKey,Item,Need,Override,Count\ntape-6,Strip,3,4,4\nfoam-low,Foam,2,,2\nshim,Shims,5,0,5\nsweep,Sweep,1,=1+1,1\nrod-1,Rod,1,1.5,1\n,Stray,1,2,1\ntape-6,Strip,3,5,4"})
	assert.Equal(t, []string{
		`job.xlsx: Materials!D6: Override is a formula (type the count over it)`,
		`job.xlsx: Materials!D7: Override "1.5" is not a whole number (write digits only, such as 2)`,
		`job.xlsx: Materials!A8: Key is blank (an override needs the key of its line)`,
		`job.xlsx: Materials!A9: Key "tape-6" has an override in row 3 too (keep one of the two)`,
	}, ps)
	assert.Equal(t, map[string]int64{"tape-6": 4, "shim": 0}, s.Overrides)

	s, ps = readSheets(t, map[string]string{"Openings": oneOpening, "Materials": "Nails,Boards\n1,2"})
	assert.Equal(t, []string{`job.xlsx: Materials: note: the sheet has no columns Key and Override and is not read`}, ps)
	assert.Empty(t, s.Overrides)
}

// Lines of Materials are what their keys say, whatever was typed over the results beside
// them; a formula is no value that somebody typed, calculated or not.
func TestPlannedLines(t *testing.T) {
	for _, c := range []struct {
		why, line      string
		item, supplier string
		say            string
	}{
		{"as written", "nails|North|box,nails,North", "nails", "North", ""},
		{"in other letters", "nails|North|box,nails,north", "nails", "North", ""},
		{"no supplier there", "nails|North|box,nails,", "nails", "North", ""},
		{"another supplier typed", "nails|North|box,nails,Southern", "nails", "North",
			`job.xlsx: Materials!C2: warning: "Southern" is typed over the supplier "North" and is not used (type a supplier under Buy at on Orders)`},
		{"the beginning of a supplier", "nails|North|box,nails,Nor", "nails", "North",
			`job.xlsx: Materials!C2: warning: "Nor" is typed over the supplier "North" and is not used (type a supplier under Buy at on Orders)`},
		{"another item typed", "nails|North|box,shims,North", "nails", "North", ""},
		{"a supplier with the sign that parts the key", "nails|North|Yard|box,nails,North|Yard", "nails", "North|Yard", ""},
		{"an item with that sign", "nails|galvanized|North|box,nails|galvanized,North", "nails|galvanized", "North", ""},
	} {
		s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Materials": "Key,Item,Supplier,Override\n" + c.line + ",\n"})
		assert.Equal(t, c.say, strings.Join(ps, "\n"), c.why)
		require.Len(t, s.Lines, 1, c.why)
		assert.Equal(t, []string{c.item, c.supplier}, []string{s.Lines[0].Item, s.Lines[0].Supplier}, c.why)
	}
	for _, c := range []struct {
		why   string
		count sheet.Cell
		typed bool
	}{
		{"a number typed over the formula", sheet.Cell{Kind: sheet.Number, Number: 4, Text: "4"}, true},
		{"the formula with its value", sheet.Cell{Kind: sheet.Number, Number: 4, Text: "4", Formula: true}, false},
		{"the formula before it is calculated", sheet.Cell{Kind: sheet.Uncalculated, Formula: true}, false},
	} {
		b := workbook(t, map[string]string{"Openings": oneOpening, "Materials": "Key,Item,Supplier,Override,Count\nnails|North|box,nails,North,,3\n"})
		at := &b.Sheet("Materials").Rows[1][4]
		c.count.Place = at.Place
		*at = c.count
		s, _ := Read(b)
		require.Len(t, s.Lines, 1, c.why)
		assert.Equal(t, c.typed, s.Lines[0].Count.Typed, c.why)
		assert.Equal(t, c.typed, s.Lines[0].Count.Value.Set, c.why)
	}
}

func TestSheets(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"OPENINGS ": oneOpening, "Summary": "a", "By opening": "a", "Kitchen": "a", "Photos": "a", "Fild measurements": "a",
		"prices": "supplier"})
	assert.Equal(t, []string{
		`job.xlsx: note: the sheets "Kitchen", "Photos" are not read`,
		`job.xlsx: 'Fild measurements': warning: the sheet "Fild measurements" is not read (if "Field measurements" is meant, rename it)`,
	}, ps)
	require.NotNil(t, s.Prices)
	assert.Equal(t, "prices", s.Prices.Name)

	s, ps = readSheets(t, map[string]string{"Opnings": oneOpening, "Job": "Key,Value\ntax,x"})
	assert.Equal(t, []string{
		`job.xlsx: there is no sheet "Openings"; found "Job", "Opnings" (is "Opnings" meant? call the sheet with the openings Openings, or let sillwright import read the list)`,
		`job.xlsx: Job!B2: tax "x" is not a percentage (write 10 or 10 %, with a decimal point and at most four decimals)`,
		`job.xlsx: Opnings: warning: the sheet "Opnings" is not read (if "Openings" is meant, rename it)`,
	}, ps)
	assert.Empty(t, s.Book.Openings)
	assert.Nil(t, s.Prices)

	for name, want := range map[string]bool{"openings": true, "Other costs": true, "Takeoff": false, "Photos": false} {
		assert.Equal(t, want, Wanted(name), name)
	}
}
