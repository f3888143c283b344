// The JSON Schema document of a plan's GeoJSON form.

package schema

import _ "embed" // the document itself

// DocumentID is the $id of the schema document.
const DocumentID = "urn:swardline:schema:plan:1"

//go:embed plan.schema.json
var document []byte

// Document returns the JSON Schema (2020-12) of a plan as GeoJSON.
func Document() []byte { return append([]byte(nil), document...) }
