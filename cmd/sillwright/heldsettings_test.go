package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// TestBlankSettingsAreHeld: a setting whose Value is blank has its default; what is typed
// there since is a change as any other, for only keys are counted.
func TestBlankSettingsAreHeld(t *testing.T) {
	inTemp(t)
	sillwright("demo", "demo")
	f, err := excelize.OpenFile(filepath.Join("demo", "workshop-estimate.xlsx"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := f.GetRows("When estimated")
	require.NoError(t, err)
	blank := map[string]bool{}
	for i, row := range rows {
		key, of := strings.CutPrefix(append(row, "")[0], "Job ")
		if !of || len(row) > 5 && row[5] != "" {
			continue
		}
		formula, err := f.GetCellFormula("When estimated", estimate.CellName(i+1, 5))
		require.NoError(t, err)
		if strings.Contains(formula, "<>") {
			blank[key] = true
		}
	}
	for _, key := range []string{"kerf", "stud depth", "spare boards", "units", "minimum saving to add a supplier", "jamb flashing", "openings a day"} {
		assert.True(t, blank[key], key)
	}
}
