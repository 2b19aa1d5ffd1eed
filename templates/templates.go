// Package templates embeds what the product ships as data: the details, items,
// settings, trim layouts, labor tasks and starter prices, the demo jobs, and
// the help topics. It only embeds; io/schedule and io/pricelist read it as they
// read a user's files.
package templates

import "embed"

// The shipped tables.
var (
	//go:embed settings.csv
	Settings []byte
	//go:embed items.csv
	Items []byte
	//go:embed details.csv
	Details []byte
	//go:embed layouts.csv
	Layouts []byte
	//go:embed labor.csv
	Labor []byte
	//go:embed prices.csv
	Prices []byte
)

// Demo holds the demo jobs: a folder a job, a CSV file a sheet.
//
//go:embed demo
var Demo embed.FS

// Help holds the help topics: a file a topic, its title in the first line.
//
//go:embed help/*.md
var Help embed.FS
