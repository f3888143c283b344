// Statistics: the distributions and quantiles that adjustments are judged by.

package adjust

import (
	"math"
	"sync"
)

// NormalQuantile is the number that a standard normal one is below with
// probability p. NaN outside 0 to 1.
func NormalQuantile(p float64) float64 {
	if !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	return -math.Sqrt2 * math.Erfcinv(2*p)
}

// gammaP is the regularised lower incomplete gamma function P(a, x), a > 0; by
// its series below a+1 and by Lentz's continued fraction above (Abramowitz and
// Stegun 6.5.29 and 6.5.31). Relative error about 1e-14 for a to 1e4.
func gammaP(a, x float64) float64 {
	switch {
	case x <= 0:
		return 0
	case math.IsInf(x, 1):
		return 1
	}
	lg, _ := math.Lgamma(a)
	front := math.Exp(a*math.Log(x) - x - lg)
	if x < a+1 {
		term := 1 / a
		sum := term
		for n := 1; n < 100_000; n++ {
			term *= x / (a + float64(n))
			sum += term
			if term < sum*1e-17 {
				break
			}
		}
		return math.Min(1, front*sum)
	}
	const tiny = 1e-300
	b := x + 1 - a
	c := 1 / tiny
	d := 1 / b
	h := d
	for i := 1; i < 100_000; i++ {
		an := -float64(i) * (float64(i) - a)
		b += 2
		d = an*d + b
		if math.Abs(d) < tiny {
			d = tiny
		}
		c = b + an/c
		if math.Abs(c) < tiny {
			c = tiny
		}
		d = 1 / d
		step := d * c
		h *= step
		if math.Abs(step-1) < 1e-16 {
			break
		}
	}
	return math.Max(0, 1-front*h)
}

// ChiSquareCDF is the probability that a chi-square number of k degrees of
// freedom is below x. NaN unless k > 0.
func ChiSquareCDF(x, k float64) float64 {
	if !(k > 0) || x != x {
		return math.NaN()
	}
	return gammaP(k/2, x/2)
}

// ChiSquareQuantile is the number that a chi-square one of k degrees of freedom
// is below with probability p. NaN unless 0 <= p < 1 and k > 0.
func ChiSquareQuantile(p, k float64) float64 {
	if !(p >= 0 && p < 1 && k > 0) {
		return math.NaN()
	}
	return quantile(p, 0, k+10*math.Sqrt(2*k)+20, func(x float64) float64 { return ChiSquareCDF(x, k) })
}

// quantile solves cdf(x) = p for x >= low, by doubling the upper bound and then
// by Chandrupatla's method (1997, Adv. Eng. Software 28, 145), which halves or
// interpolates as the function allows. cdf must not fall.
func quantile(p, low, high float64, cdf func(float64) float64) float64 {
	fh := cdf(high) - p
	for fh < 0 {
		low, high = high, high*2
		if math.IsInf(high, 1) {
			return high
		}
		fh = cdf(high) - p
	}
	a, b, fa, fb := high, low, fh, cdf(low)-p
	if fb == 0 {
		return b
	}
	c, fc, t := a, fa, 0.5
	for range 200 {
		x := a + t*(b-a)
		fx := cdf(x) - p
		if (fx < 0) == (fa < 0) {
			c, fc = a, fa
		} else {
			c, b, fc, fb = b, a, fb, fa
		}
		a, fa = x, fx
		best := a
		if math.Abs(fb) < math.Abs(fa) {
			best = b
		}
		span := math.Abs(b - a)
		tol := 4e-16*math.Abs(best) + 1e-300
		if fa == 0 || span <= 2*tol {
			return best
		}
		xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
		if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
			t = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
		} else {
			t = 0.5
		}
		t = math.Min(1-tol/span, math.Max(tol/span, t))
	}
	return a
}

// betaI is the regularised incomplete beta function I_x(a, b), by the continued
// fraction of Abramowitz and Stegun 26.5.8.
func betaI(x, a, b float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	case x > (a+1)/(a+b+2):
		return 1 - betaI(1-x, b, a)
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	front := math.Exp(lab-la-lb+a*math.Log(x)+b*math.Log1p(-x)) / a
	const tiny = 1e-300
	c, d := 1.0, 1-(a+b)*x/(a+1)
	if math.Abs(d) < tiny {
		d = tiny
	}
	d = 1 / d
	h := d
	for i := 1; i < 10_000; i++ {
		m := float64(i)
		for _, num := range [2]float64{
			m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m)),
			-(a + m) * (a + b + m) * x / ((a + 2*m) * (a + 2*m + 1)),
		} {
			d = 1 + num*d
			if math.Abs(d) < tiny {
				d = tiny
			}
			c = 1 + num/c
			if math.Abs(c) < tiny {
				c = tiny
			}
			d = 1 / d
			h *= d * c
		}
		if math.Abs(d*c-1) < 1e-16 {
			break
		}
	}
	return front * h
}

// StudentCDF is the probability that a Student number of k degrees of freedom
// is below t. NaN unless k > 0.
func StudentCDF(t, k float64) float64 {
	if !(k > 0) || t != t {
		return math.NaN()
	}
	tail := 0.5 * betaI(k/(k+t*t), k/2, 0.5)
	if t > 0 {
		return 1 - tail
	}
	return tail
}

// StudentQuantile is the number that a Student one of k degrees of freedom is
// below with probability p. NaN unless 0 < p < 1 and k > 0.
func StudentQuantile(p, k float64) float64 {
	if !(p > 0 && p < 1 && k > 0) {
		return math.NaN()
	}
	if p < 0.5 {
		return -StudentQuantile(1-p, k)
	}
	return quantile(p, 0, 10, func(t float64) float64 { return StudentCDF(t, k) })
}

// fisherCDF is the probability that a Fisher number of k1 and k2 degrees of
// freedom is below f.
func fisherCDF(f, k1, k2 float64) float64 {
	if f <= 0 {
		return 0
	}
	return betaI(k1*f/(k1*f+k2), k1/2, k2/2)
}

// FisherQuantile is the value below which a Fisher number of k1 and k2 degrees
// of freedom lies with probability p; NaN for what is no probability below 1.
func FisherQuantile(p, k1, k2 float64) float64 {
	if !(p >= 0 && p < 1 && k1 > 0 && k2 > 0) {
		return math.NaN()
	}
	return quantile(p, 0, 10, func(f float64) float64 { return fisherCDF(f, k1, k2) })
}

// noncentralChiSquareCDF is the probability that a chi-square number of k
// degrees of freedom and non-centrality lambda is below x: the mean of central
// ones of k+2j degrees over a Poisson distribution of j (Johnson, Kotz and
// Balakrishnan 1995, chapter 29).
func noncentralChiSquareCDF(x, k, lambda float64) float64 {
	if lambda == 0 {
		return ChiSquareCDF(x, k)
	}
	mean := lambda / 2
	sum := 0.0
	for j := 0; j < 10_000; j++ {
		lg, _ := math.Lgamma(float64(j) + 1)
		w := math.Exp(float64(j)*math.Log(mean) - mean - lg)
		sum += w * ChiSquareCDF(x, k+2*float64(j))
		if float64(j) > mean && w < 1e-17 {
			break
		}
	}
	return sum
}

// noncentralities remembers the values of noncentrality, which take a
// millisecond and of which a program needs a handful.
var noncentralities sync.Map

// noncentrality is the non-centrality at which a chi-square test of k degrees
// of freedom at the level alpha finds an effect with the given power.
func noncentrality(alpha, power, k float64) float64 {
	key := [3]float64{alpha, power, k}
	if v, ok := noncentralities.Load(key); ok {
		return v.(float64)
	}
	limit := ChiSquareQuantile(1-alpha, k)
	v := quantile(power, 0, 10, func(lambda float64) float64 { return 1 - noncentralChiSquareCDF(limit, k, lambda) })
	noncentralities.Store(key, v)
	return v
}
