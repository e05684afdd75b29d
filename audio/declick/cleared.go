package declick

// Cleared is what was taken out of a stream of late: something of it may be left.
type Cleared struct {
	// Sound is the last click, sample by sample, empty when none was.
	Sound []float64

	at    [mostCleared]float64 // places of the clicks' beginnings
	power [mostCleared]float64 // and their mean squares over the first beganMs
	n     int
}

const (
	// mostCleared clicks are remembered: more than are in what is held.
	mostCleared = 64
	// beganMs is how long a click is at its loudest.
	beganMs = 20
)

func (c *Cleared) add(at float64, click []float64) {
	i := c.n % mostCleared
	c.at[i], c.power[i] = at, 0
	for _, v := range click {
		c.power[i] += v * v / float64(len(click))
	}
	c.n++
}

// Places are the samples at which the last clicks began, in no order.
func (c *Cleared) Places() []float64 { return c.at[:min(c.n, mostCleared)] }

// Power is the mean square, at its loudest, of the strongest click that began
// between two samples; 0 when none did.
func (c *Cleared) Power(from, to float64) (power float64) {
	for i, at := range c.Places() {
		if at > from && at < to {
			power = max(power, c.power[i])
		}
	}
	return power
}
