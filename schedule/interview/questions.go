package interview

import "limekeep/schedule/record"

// Questions lists the questions in the order in which they are asked, given the
// answers so far: some are asked only after others. zone is the time zone that the
// door takes to be the place's; empty where it has no idea.
func Questions(a Answers, zone string) []Question {
	all := []Question{
		{ID: "layout", Ask: "What kind of machine is it?", Kind: Choice,
			Help: "How it heats its water matters most. Two gauges, or steam while it brews: two boilers or a heat exchanger.",
			Options: []Option{
				{string(record.OneBoiler), "One boiler, that brews or steams", "one-boiler"},
				{string(record.TwoBoilers), "Two boilers, one to brew and one for steam", "two-boilers"},
				{string(record.WithExchanger), "A steam boiler with a heat exchanger in it", "heat-exchanger"},
				{string(record.ByThermoblock), "A thermoblock that heats as water flows", "thermoblock"},
				{string(record.LeverBoiler), "A lever on one boiler", "lever"},
			}, Unknown: "one boiler, as most small machines have"},
		{ID: "supply", Ask: "Where does its water come from?", Kind: Choice,
			Options: []Option{{string(record.Tank), "A tank that you fill", "tank"}, {string(record.Mains), "The mains", "mains"}},
			Unknown: "a tank"},
		{ID: "groups", Ask: "How many groups has it?", Kind: Choice, Help: "A group is where a portafilter locks in.",
			Options: []Option{{"1", "One", "one-group"}, {"2", "Two", "two-groups"}, {"3", "Three", "three-groups"}},
			Unknown: "one"},
		{ID: "setting", Ask: "Where does it stand?", Kind: Choice,
			Options: []Option{{string(record.Home), "At home, or in an office kitchen", ""}, {string(record.Bar), "In a bar or café, all day", ""}},
			Unknown: "at home"},
		{ID: "came", Ask: "How did it come to you?", Kind: Choice,
			Options: []Option{{"new", "New", ""}, {"used", "Used", ""}},
			Unknown: "used, with a past that nobody knows"},
		{ID: "since", Ask: "When did it come to you?", Kind: Day, Help: "A day, a month or a year, such as 2024-05-04, 2024-05 or 2024.",
			Unknown: "today"},
	}
	if a.is("came", "used", DontKnow) {
		all = append(all, Question{ID: "made", Ask: "When was it made?", Kind: Day, Help: "The plate on its back or underneath may tell. A year is enough.",
			Unknown: "its parts are as old as such parts are met"})
	}
	if _, told := a.known("since"); told || !a.is("came", "new") { // what came new today has no past
		all = append(all, caredQuestion())
	}
	all = append(all,
		Question{ID: "cups", Ask: "How many cups does it make a day?", Kind: Number, Usual: "4", cost: costsScale,
			Unknown: "three or four at home, 120 in a bar, and two and a half times as many or as few"},
		Question{ID: "milk", Ask: "How many of them with steamed milk?", Kind: Number, Usual: "2",
			Unknown: "half of them at home, seven in ten in a bar, and widely more or fewer"})
	if a.is("layout", string(record.TwoBoilers), string(record.WithExchanger), string(record.LeverBoiler)) {
		all = append(all, Question{ID: "hot", Ask: "How many litres of hot water do you draw from it a day?", Kind: Volume, Usual: "0.2",
			Help:    "For tea and long coffees, from the tap beside the steam wand; 0 for none; or with a unit behind it, such as 8 oz. Each litre brings lime into the steam boiler, and thins what has gathered there.",
			Unknown: "none in every other home and a little in the others, in a bar a cup to every tenth coffee, and widely more or less"})
	}
	all = append(all,
		Question{ID: "water", Ask: "What do you know of your water?", Kind: Choice, cost: costsScale,
			Help: "A drop test from any pet or pool shop costs little and tells most.",
			Options: []Option{
				{"test", "I have tested it", ""}, {"report", "What the supplier's report says", ""}, {"kettle", "How our kettle looks", ""},
			}, Unknown: "anything that comes out of taps"},
	)
	switch {
	case a.is("water", "test", "report"):
		all = append(all,
			Question{ID: "hardness", Ask: "How hard is it?", Kind: Text, Usual: "14 dH", Help: "With its unit: dH, fH, mmol/L, mg/L CaCO3, ppm, gpg or e.", cost: costsScale, Unknown: "anything that comes out of taps"},
			Question{ID: "alkalinity", Ask: "And its alkalinity, or carbonate hardness?", Kind: Text, Usual: "11 dH", Help: "With its unit, as above.", Unknown: "as goes with such a hardness"})
	case a.is("water", "kettle"):
		all = append(all, Question{ID: "kettle", Ask: "How does a kettle look in which nothing but that water is boiled?", Kind: Choice, cost: costsScale,
			Options: []Option{
				{"clean", "Bare metal after half a year", ""}, {"film", "A thin film after some months", ""},
				{"crust", "A crust after some weeks", ""}, {"flakes", "Flakes in the water within a week or two", ""},
			}, Unknown: "anything that comes out of taps"})
	}
	all = append(all, Question{ID: "filter", Ask: "What does the water go through before the machine?", Kind: Choice,
		Options: []Option{
			{"none", "Nothing", ""}, {string(record.Softener), "A softening cartridge, on salt or sodium", ""},
			{string(record.Decarboniser), "A decarbonising cartridge, as in most jugs and tanks", ""}, {string(record.Carbon), "A carbon filter, for taste", ""},
			{string(record.ReverseOsmosis), "Reverse osmosis", ""},
		}, Unknown: "nothing, which is the careful guess for scale"})
	if a.is("filter", string(record.Softener), string(record.Decarboniser), string(record.Carbon), string(record.ReverseOsmosis)) {
		all = append(all, Question{ID: "fitted", Ask: "Since when is this one in?", Kind: Day, Unknown: "a while: its age is drawn"})
	}
	if a.is("filter", string(record.Softener), string(record.Decarboniser)) {
		all = append(all, Question{ID: "litres", Ask: "How many litres does its maker say it treats, at 10 °dH?", Kind: Volume, Usual: "500", Help: "Or with a unit behind it, such as 130 gal. 10 °dH are 10.4 grains per US gallon, or 178 mg/L as CaCO3.",
			Unknown: "150 litres with a tank and 1000 on the mains, as such cartridges have"})
	}
	usual := zone
	return append(all,
		Question{ID: "grinder", Ask: "What grinds for it?", Kind: Choice,
			Options: []Option{{string(record.MotorDriven), "A grinder with a motor", ""}, {string(record.HandDriven), "A hand grinder", ""}, {"none", "Nothing of ours", ""}},
			Unknown: "nothing: no burrs fall due"},
		Question{ID: "when", Ask: "When would you rather do such work?", Kind: Choice,
			Options: []Option{
				{"saturday", "Saturday mornings", ""}, {"sunday", "Sunday mornings", ""}, {"evening", "Wednesday evenings", ""},
				{"monday", "Monday mornings, before opening", ""}, {"friday", "Friday afternoons", ""},
			}, Unknown: "Saturday mornings"},
		Question{ID: "name", Ask: "What is the place called?", Kind: Text, Usual: "Our kitchen", Unknown: "Our kitchen"},
		Question{ID: "zone", Ask: "In which time zone is it?", Kind: Text, Usual: usual, Unknown: orUTC(zone)},
	)
}

func orUTC(zone string) string {
	if zone == "" {
		return "Etc/UTC"
	}
	return zone
}

// caredQuestion asks what is known of a past.
func caredQuestion() Question {
	return Question{ID: "cared", Ask: "Up to when was it well looked after, as far as you know?", Kind: Day, cost: costsCare,
		Help:    "The last time that somebody descaled it, changed its gaskets and had a look at the rest.",
		Unknown: "a past that nobody knows: a first sitting finds out, and dates are wide until then"}
}
