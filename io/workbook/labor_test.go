package workbook

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
)

func tenths(n int64) estimate.Maybe[estimate.Hours] {
	return estimate.Given(estimate.Hours(n) * estimate.Hour / 10)
}

// crewTasks are three tasks with hours and one without.
var crewTasks = []estimate.LaborTask{
	{Task: "Set", Kind: estimate.Window, Per: "unit", Hours: tenths(12), Public: tenths(40), Covers: "double hung", Source: "a table"},
	{Task: "Seal", Kind: estimate.Window, Per: "foot", Hours: estimate.Given[estimate.Hours](333)},
	{Task: "Seal", Kind: estimate.EntryDoor, Per: "meter", Hours: tenths(1)},
	{Task: "Hang", Kind: estimate.EntryDoor, Per: "opening", Public: tenths(50), Covers: "single", Source: "a table"},
}

// crewed returns a writer whose By opening is written: W1, two of three joined
// units and 36 x 60, and D1, 38 x 82.
func crewed(mm bool, rate estimate.Maybe[measure.Money], tasks []estimate.LaborTask) *writer {
	job := estimate.Job{MM: mm, LaborRate: rate}
	take := estimate.Takeoff{Openings: []estimate.Sized{
		{Opening: estimate.Opening{Mark: "W1", Qty: 2, Units: 3, Kind: estimate.Window, Frame: estimate.Size{W: 36 * measure.Inch, H: 60 * measure.Inch}}},
		{Opening: estimate.Opening{Mark: "D1", Qty: 1, Units: 1, Kind: estimate.EntryDoor, Frame: estimate.Size{W: 38 * measure.Inch, H: 82 * measure.Inch}}, Order: 1},
	}}
	in := Input{Book: estimate.Book{Job: job, Labor: tasks}, Settings: rateSettings(rate), Takeoff: take}
	in.Plan.Labor, _ = estimate.Labor(job, tasks, take)
	w := testWriter(in)
	w.byOpeningSheet(w.page("By opening"))
	w.addedCostsSheet(w.page("Added costs"))
	return w
}

// rateSettings are the settings of a job with a rate, which may be missing.
func rateSettings(rate estimate.Maybe[measure.Money]) []estimate.Setting {
	if !rate.Set {
		return []estimate.Setting{laborRate("")}
	}
	return []estimate.Setting{laborRate(rate.V.String())}
}

// laborWritten returns the part of Added costs on labor, as stored.
func laborWritten(t *testing.T, w *writer) writtenSheet {
	t.Helper()
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	return written(t, data, "Added costs", "Task")
}

// Source: arithmetic; 16 ft round a window, 240 in or 6.096 m round the door.
func TestLaborSheet(t *testing.T) {
	s := laborWritten(t, crewed(false, estimate.Given[measure.Money](65_50), crewTasks))
	row := s.header
	heads := []string{"Task", "Kind", "Per", "Hours", "Quantity", "Total hours", "Cost", "Published hours", "Published total"}
	line := func(row int) []string { return trimmed(s.texts(row, heads...)) }
	assert.Equal(t, []string{"Set", "window", "unit", "1.2", "6", "7.2", "471.6", "4", "24"}, line(row+1))
	assert.Equal(t, []string{"Seal", "window", "foot", "0.0333", "32", "1.0656", "69.8"}, line(row+2), "69.7968")
	assert.Equal(t, []string{"Seal", "entry door", "meter", "0.1", "6.096", "0.6096", "39.93"}, line(row+3), "39.9288")
	assert.Equal(t, []string{"Hang", "entry door", "opening", "", "1", "", "", "5", "5"}, line(row+4), "without hours it costs nothing, and not 0")
	for i := range ownTasks {
		assert.Empty(t, line(row+5+i), "room for a task of the crew's own")
	}
	total := row + len(crewTasks) + ownTasks + 1
	assert.Equal(t, []string{"Labor, of the hours typed", "8.8752", "581.33"}, s.texts(total, "Task", "Total hours", "Cost"))
	assert.Equal(t, fmt.Sprintf("SUM(H%d:H%d)", row+1, total-1), s.formula(total, "Cost"), "with the rows of the crew's own")

	const own = "'By opening'!"
	at := fmt.Sprintf
	assert.Equal(t, at(`IF(AND(ISNUMBER(D%[1]d),ISNUMBER(E%[1]d)),ROUND(ROUND(D%[1]d*E%[1]d,8),4),"")`, row+1), s.formula(row+1, "Total hours"))
	assert.Equal(t, at(`IF(AND(ISNUMBER(I%[1]d),ISNUMBER(E%[1]d)),ROUND(ROUND(I%[1]d*E%[1]d,8),4),"")`, row+1), s.formula(row+1, "Published total"))
	assert.Contains(t, s.formula(row+1, "Cost"), `"no labor rate"),"")`)
	assert.Contains(t, s.formula(row+1, "Quantity"), at(`IF(C%[1]d="opening",SUMIF(`+own+`$B$6:$B$7,B%[1]d,`+own+`$C$6:$C$7),`, row+1))
	assert.Contains(t, s.formula(row+1, "Quantity"), `*0.3048,""`, "a meter of feet")
}

// trimmed drops the blank cells at the end of a row.
func trimmed(cells []string) []string {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

func TestLaborSheetInMeters(t *testing.T) {
	inches, mm := crewed(false, estimate.Given[measure.Money](65_50), crewTasks), crewed(true, estimate.Given[measure.Money](65_50), crewTasks)
	metric := laborWritten(t, mm)
	assert.Equal(t, laborWritten(t, inches).rows, metric.rows, "a foot is a foot")
	assert.Contains(t, metric.formula(metric.header+1, "Quantity"), fmt.Sprintf(`/0.3048,IF(C%d="meter"`, metric.header+1))
}

func TestLaborSheetWithoutRate(t *testing.T) {
	s := laborWritten(t, crewed(false, estimate.Maybe[measure.Money]{}, crewTasks))
	assert.Equal(t, "no labor rate", s.text(s.header+1, "Cost"))
	assert.Equal(t, []string{"8.8752", "0"}, s.texts(s.find("Task", laborTotal), "Total hours", "Cost"))

	s = laborWritten(t, crewed(false, estimate.Maybe[measure.Money]{}, crewTasks[3:]))
	assert.Equal(t, []string{"0", "0"}, s.texts(s.find("Task", laborTotal), "Total hours", "Cost"), "off: no hours, no cost")
	assert.Equal(t, "", s.text(s.header+1, "Cost"))
}

func TestLaborWithoutOpenings(t *testing.T) {
	in := Input{Book: estimate.Book{Labor: crewTasks}, Settings: rateSettings(estimate.Maybe[measure.Money]{})}
	in.Plan.Labor, _ = estimate.Labor(estimate.Job{}, crewTasks, estimate.Takeoff{})
	w := testWriter(in)
	w.byOpeningSheet(w.page("By opening"))
	w.addedCostsSheet(w.page("Added costs"))
	s := laborWritten(t, w)
	assert.Equal(t, "0", s.text(s.header+1, "Quantity"))
}

// A schedule has the sheet too, without what follows from the openings.
func TestLaborOfASchedule(t *testing.T) {
	for _, x := range []struct {
		blank bool
		rows  int
	}{{false, len(crewTasks)}, {true, len(crewTasks) + ownTasksBlank}} {
		columns := Table{Columns: []string{"Mark"}, Headers: []string{"Mark"}}
		data, err := Schedule(ScheduleInput{How: "how", Book: estimate.Book{Labor: crewTasks}, Openings: columns, Measured: columns, Blank: x.blank})
		require.NoError(t, err)
		assert.Empty(t, audit.Lint(data))
		s := written(t, data, "Labor", "Task")
		assert.Equal(t, []string{"Task", "Kind", "Per", "Hours", "Phase", "Published hours", "Covers", "Basis", "Source"}, s.rows[s.header-1])
		assert.Equal(t, []string{"Set", "window", "unit", "1.2", "", "4", "double hung", "", "a table"}, s.rows[s.header])
		dim, err := s.file.GetSheetDimension("Labor")
		require.NoError(t, err)
		assert.Equal(t, "A1:"+s.at(s.header+x.rows, "Source"), dim)
	}
}
