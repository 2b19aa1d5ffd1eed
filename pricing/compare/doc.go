// Package compare sets what package pricing works out side by side: jobs, the
// quotes of suppliers, revisions of an estimate, and alternates. It buys through
// package pricing, which knows nothing of it.
//
//	side.go, jobs.go, paid.go, outliers.go, notes.go   jobs: costs, prices paid, what stands out, what is not alike
//	quote.go, tabulation.go                            quotes: as written, and bought from
//	flags.go, unitprice.go, readings.go                what has to be asked of a supplier, and what depends on the answer
//	revision.go, markchange.go, wrongcut.go, tobuy.go  an earlier and a later estimate of one job
//	changeprice.go, changeorder.go                     where the price changed, and what a change order comes to
//	alternates.go                                      other ways to do a job
package compare
