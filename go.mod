module swardline

go 1.26.3

require (
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/paulmach/orb v0.14.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3 // indirect
	github.com/spf13/cobra v1.10.2 // indirect
	github.com/spf13/pflag v1.0.9 // indirect
	github.com/twpayne/go-geom v1.7.0 // indirect
	github.com/twpayne/go-kml/v3 v3.6.0 // indirect
	github.com/wroge/wgs84 v1.1.7 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
	golang.org/x/text v0.14.0 // indirect
	golang.org/x/tools v0.26.0 // indirect
)
