// Tests of what values say under names of properties that only describe.

package validate_test

import (
	"strings"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// Ordinary values, one to each name and more: none of them is told by any rule.
func TestValuesThatDescribe(t *testing.T) {
	for id, values := range map[string][]string{
		"z1": {
			"owner=Keller", "owner=A. von Bergen", "client=Gartenbau Keller GmbH", "customer=Amsel & Söhne KG", "contact=keller@example.org", "contact=+49 7771 1234 (office)", "phone=07771 / 1234", "company=Amsel Gartenbau", "operator=Keller", "surveyor=Keller", "surveyor=A. Bach",
			"surveyed_by=Jan de Vries", "measured_by=Anna Keller, network RTK", "measured_by=static 20 min", "measured_by=RTK, mean of 2 sessions", "measured_by=RTK ±0.05 m", "surveyor=total station", "instrument=rover on a pole of 2 m", "instrument=GNSS rover, 2 m pole", "measured_by=fixed 95 %", "license=All rights reserved", "license=Creative Commons Attribution 4.0", "software=Field planner for desktop 2.1", "interval_days=3", "mow_days=mon", "link=plan of the north lawn.pdf", "author=M. Teich", "user=jkeller", "edited_by=admin", "contractor=Stadt Amselau, Gartenamt", "project=West 4", "address=Am Teich 3, 12345 Amselau", "address=12 Lake Road", "street=Bachweg 4", "city=Bad Amselau", "addr:street=Seestraße", "addr:city=Amselau", "country=DE",
			"date=2026-04-12", "date=12.4.2026", "date=April 2026", "date=2026-04-12T10:20:00Z", "date=Sunday, 12 April 2026", "date=20260412", "created=2026-04-12 10:20", "modified=12 Apr 2026", "updated=spring 2026", "year=2026",
			"url=https://lake.example.org/lawns/4?a=b&c=%20d", "link=https://example.org", "website=www.example.org", "photo=IMG_0012.jpg", "image=west lawn by the pond.jpg", "photo=old_photo_2026-04-12.png", "file=lawns_v2_final.geojson", "document=plan 12.pdf",
			"colour=#fff", "color=green", "fill=rgba(0, 120, 0, 0.5)", "stroke=#008800", "stroke-width=2px", "linetype=DASHED2", "linetype=CONTINUOUS", "linetype=ByLayer", "style=lawn", "icon=https://example.org/icons/grass.png", "marker-symbol=park", "marker-symbol=circle-stroked", "opacity=50%", "font=Sans Bold", "dash=4,2",
			"device=rover 2", "instrument=GX-12 Rover", "receiver=GNSS rover 3", "software=swardline", "program=swardline 1.4", "generator=swardline 1.2.3 (build 42)", "tool=rover", "model=M 400", "make=Amsel", "species=Festuca rubra", "species=Lolium perenne 'Amsel'", "seed=RSM 2.3", "seed=sports mixture",
			"priority=1", "priority=high", "order=first", "order=3", "number=12a", "index=4", "rank=2nd", "age=12 years", "planted=2012", "planted=spring 2012", "crew=team 2", "interval=weekly", "cutdays=Monday",
			"area=600 m²", "area=-", "length=# 24", "elevation=*", "note=***", "length=24 m", "perimeter=100 m", "speed=0.5 m/s", "overlap=10 cm", "elevation_note=", "handle=2F4A", "serial=SN-0012-44", "uuid=6f1c9f1e-7f5e-4c1f-9d3c-1c2c3d4e5f60", "plot=2041/3", "parcel=1204", "asset_id=LWN-0042", "inventory_no=12-44",
		},
		"h1": {"species=Quercus robur", "species=Malus domestica", "photo=pond.jpg", "image=oak in the pond lawn.jpg", "icon=tree", "owner=Keller", "date=2026-04-12", "age=40 years"},
		"b1": {"author=Keller", "instrument=GX-12", "date=2026-04-12", "url=https://example.org/base", "model=A-20", "serial=004412"},
		"d1": {"contact=Keller", "model=D2", "date=2026-05-01", "icon=charging-station"},
		"e1": {"linetype=FENCELINE1", "colour=brown", "contractor=Amsel Zaunbau"},
		"k1": {"photo=pond_west.jpg", "icon=water", "style=pond", "species=Rosa canina", "planted=2019"},
	} {
		for _, said := range values {
			key, value, _ := strings.Cut(said, "=")
			p := park()
			p.get(id).set(key, schema.String(value))
			for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
				t.Errorf("%s %s: %s: %s", id, said, f.Rule, f.Message)
			}
		}
	}
}

// Values that say more than such a value does: one of rule tells each.
func TestValuesThatSayMore(t *testing.T) {
	for id, values := range map[string][]string{
		"z1": {
			"owner=Army firing range", "contact=call the farmer: bull on this meadow", "phone=outlet dead since March", "surveyor=gardener, paced out by eye", "author=approximate, by the client", "address=Lawn removed in 2019", "user=sinkhole",
			"date=before the bank collapsed in 2025", "date=31.02.2026", "modified=outline shifted 2 m", "updated=2026-13-40", "year=flood year", "date=?",
			"measured_by=survey-in 24 h", "measured_by=averaged 10 minutes", "measured_by=RTK 0.051 m", "measured_by=±0.4 m", "measured_by=none", "measured_by=-", "surveyor=static 19 min", "surveyed_by=fixed 94 %", "surveyor=RTK +/- 6 cm", "instrument=mean of 3 epochs", "instrument=accuracy 0.06", "receiver=self-survey", "license=the well is open", "link=not approved yet", "software=the well is open", "generator=ends at the CLIFF", "handle=the well stands open", "id=old quarry below", "interval_days=never", "photo=sinkhole_in_lawn_2026-05-02.jpg", "url=https://example.org/lawn-has-been-moved", "image=pond in the lawn.jpg", "file=lawn rejected.geojson",
			"colour=red = closed", "icon=danger-deep-water", "style=pond", "linetype=GAS_LINE", "linetype=PROPOSED", "marker-symbol=roadblock",
			"device=smartphone", "software=traced over orthophoto", "instrument=handheld receiver", "program=digitised from imagery", "rover=tablet",
			"species=Salix, branches to the ground", "seed=not sown yet", "priority=never mow", "order=only after the pond is filled in", "number=2 of 5", "age=dead, leaning over the lawn", "planted=40 saplings all over the lawn", "key=closed: bull inside", "interval=when dry",
			"area=not measured", "area=####", "elevation=***", "length=#REF!", "perimeter=#DIV/0!", "area_m2=#NV", "area_m2=approx 9999?", "perimeter=48 furlongs", "elevation=4 m above the lawn", "plot=demolished", "handle=void", "serial=unsafe", "scale=1:25000",
		},
		"b1": {"author=unknown", "updated=mast moved 2 m east on 1 June 2026", "url=https://example.org/base-has-been-moved", "receiver=phone"},
		"e1": {"linetype=DEMOLISHED", "created=before the fence fell"},
		"k1": {"photo=bank_collapsed_2m_outside_outline.jpg", "style=obsolete", "surveyor=estimated from the window"},
	} {
		for _, said := range values {
			key, value, _ := strings.Cut(said, "=")
			for _, wrapped := range []schema.Value{schema.String(value), schema.List(schema.Null(), schema.Object(schema.Attributes{{Key: "a", Value: schema.Object(schema.Attributes{{Key: "b", Value: schema.String(value)}})}}))} {
				p := park()
				p.get(id).set(key, wrapped)
				if r := validate.Check(p.plan(t), schema.DefaultLimits()); r.Status() == validate.StatusClean {
					t.Errorf("%s %s: %v is clean", id, said, wrapped.Kind())
				}
			}
		}
	}
}
