package pricing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// TestTopUpBesideStock: 3 legs of 80 in. Of three boards of 8 ft that are there, square at
// both ends, one leg comes off each. Of two, one more is bought. Of five, two are left;
// a stick of 4 ft serves nothing. Source: arithmetic
func TestTopUpBesideStock(t *testing.T) {
	legs := need1(1, pieces(board, "leg", 3, 80*in))
	for _, c := range []struct {
		why   string
		stock []Stock
		left  []int64
		buy   int64
	}{
		{"as many as it takes", []Stock{{Amount: int64(96 * in), Count: 3, Square: true}}, []int64{0}, 0},
		{"one too few", []Stock{{Amount: int64(96 * in), Count: 2, Square: true}}, []int64{0}, 1},
		{"two too many, and a short one", []Stock{{Amount: int64(48 * in), Count: 1, Square: true}, {Amount: int64(96 * in), Count: 5, Square: true}}, []int64{1, 2}, 0},
		{"nothing there", nil, []int64{}, 3},
	} {
		book := estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{board})}
		needs := ItemNeeds(book, &legs, Lists{Offers: []Offer{line(2, "Yard A", board, "8 ft", 800)}})
		require.Len(t, needs, 1)
		top := needs[0].TopUp("Yard A", c.stock)
		assert.Equal(t, c.left, top.Left, c.why)
		bought := int64(0)
		for _, l := range top.Lines {
			bought += l.Count()
		}
		assert.Equal(t, c.buy, bought, c.why)
		assert.Empty(t, top.State, c.why)
	}
}
