// Words that other programs have for the property active, of the rule
// switch-unfit.

package validate

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// onWords and offWords are names of properties that say whether a thing is
// switched on, folded as foldKey does, without stops (common practice, no
// source). A value is asked for, so that "on": "Tuesday" is no switch.
var (
	onWords = strings.Fields("on ison isactive isenabled inuse isinuse inservice inoperation operational isoperational available isavailable activated isactivated " +
		"activestatus activeflag enabledflag enabledstatus act use mow mowed mown switchedon turnedon switch switched onoff state status " +
		"aktiviert istaktiv eingeschaltet inbetrieb ein an mähen mähe allumé enservice activé estactif encendido activado enuso habilitado " +
		"ingeschakeld actief ingebruik acceso attivo attivato inuso abilitato tændt tændt påslått aktiverad aktivert aktiveret ibruk ibrug päällä käytössä aktiivinen")
	offWords = strings.Fields("off isoff isinactive isdisabled deactivated isdeactivated disable switchedoff turnedoff notactive notenabled notinuse outofuse outofservice " +
		"suspended paused retired removed deleted hors horsservice désactivé désactivée inactif éteint inaktiv deaktiviert ausgeschaltet ausserbetrieb außerbetrieb abgeschaltet stillgelegt " +
		"inactivo desactivado apagado fueradeservicio deshabilitado inattivo disattivato disabilitato spento fuoriservizio inactief uitgeschakeld uit buitengebruik " +
		"slukket slået fra avslått avstängd deaktiveret deaktivert deaktiverad poissakäytöstä poiskäytöstä poispäältä eikäytössä epäaktiivinen")
)

// saysNo and saysYes are values of such properties, folded.
var (
	saysNo  = strings.Fields("false 0 0.0 no n off f nein non ne nee nej ei aus uit apagado spento inactive inaktiv inactif inactivo inattivo inactief disabled deactivated suspended paused retired removed deleted switchedoff turnedoff notactive notinuse outofuse outofservice")
	saysYes = strings.Fields("true 1 1.0 yes y t oui ja si sí sì kyllä x")
)

// switchKey is a key as the words of switches have it.
func switchKey(key string) string { return strings.NewReplacer("/", "", ".", "").Replace(foldKey(key)) }

// bareSwitches are words that mean other things with a number: an offset, an
// angle, a count.
var bareSwitches = []string{"off", "on", "an", "ein", "uit", "use", "act", "state", "status", "switch"}

// switchWord reports whether a property says, under another name than active,
// that its feature is switched off.
func switchWord(key string, v schema.Value) bool {
	k := switchKey(key)
	on, off := slices.Contains(onWords, k), slices.Contains(offWords, k)
	if !on && !off || v.Kind() == schema.KindNumber && slices.Contains(bareSwitches, k) {
		return false
	}
	word := switchKey(v.Text())
	if on {
		return slices.Contains(saysNo, word)
	}
	return slices.Contains(saysYes, word)
}

// switchKeys says of a key whether it may be another word for active at all.
var switchKeys = remembered[bool]{of: func(key string) bool {
	k := switchKey(key)
	return (slices.Contains(onWords, k) || slices.Contains(offWords, k)) &&
		!slices.ContainsFunc(meantFor(key), func(p *readProperty) bool { return p.key == schema.PropActive })
}}

// switchWords lists properties that say off under names that active's slips do
// not take in, of features that do not say active themselves.
func (r *run) switchWords() []slip {
	var out []slip
	for _, f := range r.Features {
		if f.Role == schema.RoleOther || f.Role == "" || !isNull(f.Attributes.Get(schema.PropActive)) {
			continue
		}
		for _, a := range f.Attributes {
			if switchKeys.get(a.Key) && switchWord(a.Key, a.Value) {
				out = append(out, slip{f: f, property: schema.PropActive, key: a.Key, value: a.Value})
			}
		}
	}
	return out
}

// otherSwitch tells a property that says off and is not read.
func (r *run) otherSwitch(s slip) {
	x := r.finding(r.middle(s.f), s.f)
	switch s.f.Role {
	case schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleBase:
		x.Severity = Error
	}
	x.Message = fmt.Sprintf("the property is called active, not %s, so it is taken to be switched on", quote(s.key))
}

// switchedTwice tells what says active: true, and off in another property.
func (r *run) switchedTwice() {
	for _, f := range r.Features {
		if f.Role == schema.RoleOther || f.Role == "" {
			continue
		}
		if on, ok := f.Attributes.Get(schema.PropActive).Truth(); !ok || !on {
			continue
		}
		for _, a := range f.Attributes {
			off := switchKeys.get(a.Key) && switchWord(a.Key, a.Value)
			for _, p := range slipKeys.get(a.Key) {
				says := saysNo
				if k := foldKey(a.Key); k == "disabled" || k == "inactive" {
					says = saysYes
				}
				off = off || p.key == schema.PropActive && slices.Contains(says, switchKey(a.Value.Text()))
			}
			if !off {
				continue
			}
			x := r.finding(r.middle(f), f)
			x.Message = fmt.Sprintf("its active is true, and %s says %s: only active is read; take the wrong one out", quote(a.Key), shown(a.Value))
			break
		}
	}
}

// offShare is how much of a lawn that is switched off another has to mow, and how
// much of that other it may be at most, to be a piece of it and not the same lawn at
// another season (common practice, no source).
const offShare = 0.5

// offInActive tells lawns that are switched off and mown all the same, as a piece of
// another.
func (r *run) offInActive() {
	if r.Frame == FrameNone || !slices.ContainsFunc(r.Inactive, func(f *schema.Feature) bool { return f.Role == schema.RoleZone }) {
		return
	}
	zones := r.zones()
	for i := range r.offs() {
		off := &r.offFeatures[i]
		if off.Role != schema.RoleZone || off.Invalid != "" || r.saysStands(off.Feature) != "" { // which is told as it is
			continue
		}
		var own orb.MultiPolygon
		for _, a := range off.Areas {
			if len(r.validator.Polygons([]orb.Polygon{a.Read})) == 0 {
				own = append(own, a.Ground)
			}
		}
		size := plane.Area(own)
		if !(size > 0) {
			continue
		}
		for _, k := range zones.near(areasBound(own)) {
			n := r.netOf(k)
			if !n.ok || size > offShare*n.area() {
				continue
			}
			mown := plane.Area(r.shared(own, areasBound(own), n.areas, zones.bounds[k]))
			if mown < offShare*size {
				continue
			}
			x := r.finding(nil)
			x.Features, x.Line = []*schema.Feature{off.Feature}, off.Source.Line
			x.AreaM2 = mown
			x.Message = fmt.Sprintf("is switched off, and %s of it are mown all the same as part of %s: draw a keep-out there, or take it out", squareMetres(mown), zones.features[k].describe())
			break
		}
	}
}
