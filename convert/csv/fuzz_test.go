// Whatever bytes come: no panic, errors in their one form, and what was read
// can be written in both layouts and read again the same.

package csv

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"lat,lon,name\n56.1,9.2,lawn\n", "sep=;\nL\u00e4nge;Breite;H\u00f6he\n9,5;56,25;\n", "e\tn\th\n512'345.5\t6 228 011\t1,250\n", "lat|lon\n40\u00b0 11' 15.5\" N|26\u00b0W\n",
		"wkt,crs\n\"POLYGON ((0 0,1 0,1 1,0 0))\",OGC:CRS84\n", "geom\nSRID=25832;POINT Z (1 2 NaN)\n",
		"id,role,lon,lat\nz,zone,9,56\nz,zone,9,57\nz,zone,10,57\n", "id,part,ring,seq,lon,lat,a\nx,1,1,1,9,56,1\nx,1,1,2,9,57,2\nx,2,1,1,9,58,\n",
		"id,seq,e,n,epsg\n,1,1,2,25832\n,2,1,3,\n", "lat,lon,a,a\n1,1,1,1\n", "lat,lon\n\"1\n", "lat,lon\r1,2\r", "lat,lon,\"a\"\"b\"\n1,2,\"{\"\"x\"\":[1]}\"\n",
		"id,role,name,wkt,crs,epoch,attribute_order,b,a\n,plan,p,,OGC:CRS84,2020,,,\n1,dock,,POINT(1 2),,,\"[\"\"a\"\",\"\"b\"\"]\",1,2\n",
	} {
		f.Add([]byte(s), "")
	}
	// What the reader looks at beside the rows: remarks, lines above the header, rows of
	// units, other columns of geometry and of systems, cells that are empty or too many.
	for _, s := range []string{
		"# void: base moved\n# ----- 3\nname,e,n\na,500001.25,6200001.25\n", "Site A;;\n\nnot surveyed;;\nname;e;n\n;[m];[m]\na;500001,25;6200001,25\n",
		"name,e,n,wkt,outline,crs,epsg\na,1,2,POINT(1 2),\"POLYGON ((0 0,9 0,9 9,0 0))\",EPSG:25832,25833\n", "the pond is not in it\nname,wkt\nPOINT(1 2),a\n,\n", "name,e,n,height_m\na,1,2,####\nb,3,4,1.5\n\nsee the other list,,,\n",
		"id,role,name,wkt,crs,beside\n,plan,p,,OGC:CRS84,\"{\"\"texts\"\":[{\"\"where\"\":\"\"the style\"\",\"\"text\"\":\"\"bog\"\"}]}\"\n1,mark,,POINT(1 2),,\n",
	} {
		f.Add([]byte(s), "")
	}
	f.Add([]byte("1,2,3,4,A START PC\n2,3,4,5,A\n3,4,4,5,A PT\n4,9,9,9,A CLOSE\n"), "PNEZD")
	f.Add([]byte("12 1,5 2,5 GATE START\n"), "id,n,e,code")
	f.Add([]byte("base;56.1;9.2;x\n"), "name,lat,lon,-")
	for _, name := range []string{"demo_wkt.csv", "demo_points.csv"} {
		data, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, "")
	}
	f.Fuzz(func(t *testing.T, data []byte, columns string) {
		Detect(data)
		p, _, err := Read(data, wire.ReadOptions{Name: "f.csv", Columns: columns})
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.Problem == "" {
				t.Fatalf("error of another form: %v", err)
			}
			return
		}
		for _, layout := range []string{LayoutWKT, LayoutPoints} {
			var out bytes.Buffer
			losses, err := Write(&out, p, wire.WriteOptions{Layout: layout})
			if err != nil {
				t.Fatalf("what was read cannot be written: %v", err)
			}
			q, _, err := Read(out.Bytes(), wire.ReadOptions{Name: "again.csv"})
			if err != nil {
				t.Fatalf("what was written cannot be read: %v\n%s", err, out.Bytes())
			}
			if len(losses) > 0 {
				continue // rings were closed or turned, and that was said
			}
			if err := schema.Same(p, q, tolerance); err != nil {
				t.Fatalf("%s: %v\n%q", layout, err, out.Bytes())
			}
		}
	})
}
