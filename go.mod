module swardline

go 1.26.3

require (
	github.com/go-fonts/dejavu v0.3.4
	github.com/owenrumney/go-sarif/v3 v3.3.1
	github.com/paulmach/orb v0.14.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
	github.com/spf13/cobra v1.10.2
	github.com/spf13/pflag v1.0.9
	github.com/twpayne/go-geom v1.7.0
	github.com/twpayne/go-kml/v3 v3.6.0
	github.com/wroge/wgs84 v1.1.7
	go.yaml.in/yaml/v3 v3.0.6
	golang.org/x/image v0.40.0
	golang.org/x/text v0.44.0
)

require (
	github.com/cpuguy83/go-md2man/v2 v2.0.6 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/russross/blackfriday/v2 v2.1.0 // indirect
	golang.org/x/sys v0.49.0 // indirect
	golang.org/x/tools v0.52.0 // indirect
)
