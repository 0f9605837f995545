package record

// Layout tells in a word how a machine is built. Its vessels and groups follow from
// it where they are not written out.
type Layout string

// Layouts.
const (
	OneBoiler     Layout = "one boiler"     // it brews and steams from one boiler, one after the other
	TwoBoilers    Layout = "two boilers"    // one to brew, one for steam
	WithExchanger Layout = "heat exchanger" // brew water is heated in a tube through the steam boiler
	ByThermoblock Layout = "thermoblock"    // water is heated as it flows through a block
	LeverBoiler   Layout = "lever"          // one boiler under pressure, and a piston worked by a lever
)

// Choices lists the layouts.
func (Layout) Choices() []string {
	return []string{string(OneBoiler), string(TwoBoilers), string(WithExchanger), string(ByThermoblock), string(LeverBoiler)}
}

// Vessels returns what heats water in a machine built so, by the way such machines
// are built; nothing for a layout that is not known.
func (l Layout) Vessels() []Vessel {
	brew, steam := Vessel{ID: "brew", Kind: BrewBoiler}, Vessel{ID: "steam", Kind: SteamBoiler}
	switch l {
	case OneBoiler:
		return []Vessel{brew}
	case TwoBoilers:
		return []Vessel{brew, steam}
	case WithExchanger:
		return []Vessel{{ID: "exchanger", Kind: HeatExchanger}, steam}
	case ByThermoblock:
		return []Vessel{{ID: "block", Kind: Thermoblock}}
	case LeverBoiler:
		return []Vessel{{ID: "boiler", Kind: SteamBoiler}}
	}
	return nil
}

// Group returns a group as such machines have it. A pump machine whose owner says
// nothing is taken to have the three-way valve that most have; small ones with a
// block often lack it, and then no backflush is asked for.
func (l Layout) Group(id string) Group {
	return Group{ID: id, Lever: l == LeverBoiler, ThreeWayValve: l != LeverBoiler && l != ByThermoblock}
}
