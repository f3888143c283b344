// The comparisons with C libraries live in a module of their own, so that the product's
// go.mod stays free of cgo.
module swardline/testdata/oracle

go 1.26.3

require (
	github.com/paulmach/orb v0.14.0
	github.com/twpayne/go-geom v1.7.0
	gonum.org/v1/gonum v0.16.0
	swardline v0.0.0
)

require (
	github.com/twpayne/go-kml/v3 v3.6.0 // indirect
	github.com/wroge/wgs84 v1.1.7 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
	golang.org/x/text v0.44.0 // indirect
)

replace swardline => ../..
