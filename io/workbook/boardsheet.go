package workbook

import (
	"sillwright/io/cutting"
	"sillwright/io/xlsx"
)

// boardsSheet writes how the boards, sticks, rolls and coils were planned: a
// block an item, a row a distinct cutting pattern, and a picture of them. Held
// pieces are on the same boards, marked, so that measuring them later needs no more.
func (w *writer) boardsSheet(p *xlsx.Sheet) {
	w.top(p, "Boards", "How boards, sticks, rolls and coils are cut: a row and a bar a cutting pattern, pieces in cutting order. "+cutting.HoldWords)
	s := cutting.NewWriter(p, w.u)
	pieces, purchases := w.cuts()
	for _, buy := range purchases {
		for _, c := range buy.Plans {
			s.Block(pieces.stockPlan(buy.Item, buy.Supplier, w.in.Book.Job.Currency, c))
		}
	}
	s.Finish()
	w.boardsAdd = s.Difference()
}
