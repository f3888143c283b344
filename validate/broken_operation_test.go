// The rules on coordinate operations in testdata/broken: for each a plan with
// the reference system to take it to, in its member "example_operation", whose
// operation the limits refuse, and one whose operation they take.

package validate_test

import (
	"errors"
	"testing"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// taken is a plan in ITRF2014 at an epoch, 0 for one that is not stated, and
// where it is to be taken.
type taken struct {
	epoch float64
	to    string
}

// brokenOperations: the steps are EPSG:9757, stated good to 0.01 m, and the
// ensemble of WGS 84, good to 2 m; and EPSG:8405 from ITRF2014 to ETRF2000,
// stated good to 0 m at a known epoch, because it defines the frame.
var brokenOperations = map[string]struct {
	fail, pass taken
	accuracy   float64 // of the failing operation, or of the best there is without an epoch
}{
	"accuracy-unfit": {taken{2024.5, "EPSG:4937"}, taken{2024.5, "EPSG:7930"}, 0.1},
	"epoch-unknown":  {taken{0, "EPSG:7930"}, taken{2024.5, "EPSG:7930"}, 3.11},
}

func TestBrokenOperations(t *testing.T) {
	for _, rule := range validate.RulesOf(validate.CommandConvert) {
		b, ok := brokenOperations[rule.Name]
		if !ok {
			t.Errorf("%s has no pair of plans", rule.Name)
			continue
		}
		if err := operationOf(t, rule.Name+".pass.geojson", b.pass); err != nil {
			t.Errorf("%s, the passing plan: %v", rule.Name, err)
		}
		err := operationOf(t, rule.Name+".fail.geojson", b.fail)
		var unfit *crs.AccuracyError
		var unknown *crs.EpochError
		switch {
		case errors.As(err, &unfit):
			if rule.Name != "accuracy-unfit" || !near(float64(unfit.Accuracy), b.accuracy, 1e-6) || float64(unfit.Accepted) != schema.DefaultLimits().AccuracyM {
				t.Errorf("%s: accuracy %v against %v: %v", rule.Name, unfit.Accuracy, unfit.Accepted, err)
			}
		case errors.As(err, &unknown):
			if rule.Name != "epoch-unknown" || unknown.Side != "source" || unknown.Plate || !near(float64(unknown.Fallback), b.accuracy, 1e-6) {
				t.Errorf("%s: side %q, fallback %v: %v", rule.Name, unknown.Side, unknown.Fallback, err)
			}
		default:
			t.Errorf("%s, the failing plan: %v", rule.Name, err)
		}
	}
}

// operationOf reads a plan of testdata/broken, which has no other fault, and
// finds the operation that its member asks for, as a conversion does.
func operationOf(t *testing.T, name string, x taken) error {
	t.Helper()
	p := park()
	p.members = []schema.Attribute{{Key: "crs", Value: schema.Object(schema.Attributes{{Key: "type", Value: schema.String("name")},
		{Key: "properties", Value: schema.Object(schema.Attributes{{Key: "name", Value: schema.String("EPSG:7912")}})}})}}
	if x.epoch != 0 {
		p.members = append(p.members, schema.Attribute{Key: "epoch", Value: num(x.epoch)})
	}
	p.members = append(p.members, schema.Attribute{Key: "example_operation", Value: schema.Object(schema.Attributes{{Key: "to", Value: schema.String(x.to)}})})
	plan := drawn(t, name, p)
	if plan.CRS == nil || plan.CRS.ID() != "EPSG:7912" || plan.Epoch != x.epoch {
		t.Fatalf("%s: %v at %v", name, plan.CRS, plan.Epoch)
	}
	l := schema.DefaultLimits()
	for _, f := range validate.Check(plan, l).Findings {
		t.Errorf("%s has a finding: %s", name, show(f))
	}
	to, err := crs.Parse(plan.Attributes.Get("example_operation").Fields().Get("to").Text())
	if err != nil {
		t.Fatal(err)
	}
	_, err = plan.Operation(schema.Move{To: to, Allow: crs.Allowed{Accuracy: crs.Metres(l.AccuracyM)}})
	return err
}
