// The live page in a browser is tested in a module of its own, so that the product's
// go.mod stays free of what drives one.
module swardline/testdata/browser

go 1.26.3

require (
	github.com/chromedp/cdproto v0.0.0-20250724212937-08a3db8b4327
	github.com/chromedp/chromedp v0.14.2
	swardline v0.0.0
)

require (
	github.com/chromedp/sysutil v1.1.0 // indirect
	github.com/go-json-experiment/json v0.0.0-20250725192818-e39067aee2d2 // indirect
	github.com/gobwas/httphead v0.1.0 // indirect
	github.com/gobwas/pool v0.2.1 // indirect
	github.com/gobwas/ws v1.4.0 // indirect
	github.com/paulmach/orb v0.14.0 // indirect
	github.com/twpayne/go-geom v1.7.0 // indirect
	github.com/twpayne/go-kml/v3 v3.6.0 // indirect
	github.com/wroge/wgs84 v1.1.7 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
	golang.org/x/sys v0.49.0 // indirect
	golang.org/x/text v0.44.0 // indirect
)

replace swardline => ../..
