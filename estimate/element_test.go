package estimate

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Source: National Institute of Standards and Technology, NISTIR 6389, UNIFORMAT
// II, level 3: B2020 Exterior Windows, B2030 Exterior Doors
func TestElement(t *testing.T) {
	want := map[Kind]string{Window: "B2020", PatioDoor: "B2030", EntryDoor: "B2030", OverheadDoor: "B2030"}
	for _, k := range Kinds {
		assert.Equal(t, want[Kind(k)], Element(Kind(k)), k)
	}
}
