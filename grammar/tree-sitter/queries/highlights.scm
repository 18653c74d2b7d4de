; Made from the vocabulary by npm run generate.

(description) @comment.documentation

(comment) @comment

(text) @string

(date) @constant.numeric

(line (number) @constant.numeric)

(pixel (number) @constant.numeric)

(copy (number) @constant.numeric)

(percent) @keyword.unit

((number) . (word) @keyword.unit (#match? @keyword.unit "^(columns|per-kWh|strands|cables|column|nights|pixels|strand|cable|night|pixel|Gbps|Mbps|bits|degC|degF|kbps|km/h|kohm|mohm|rows|AWG|MHz|bit|fps|ft2|kHz|lbf|m/s|mm2|mm²|mph|ohm|row|Hz|cm|ft|in|kN|kW|km|m2|mA|mV|mW|mm|ms|m²|px|uA|us|yd|A|K|N|V|W|h|m|s)$"))

((keyword) @keyword (#match? @keyword "^(controller|measured|receiver|circuit|accept|expect|supply|board|flood|place|route|bond|feed|mast|plan|prop|run|use)$"))

((keyword) @keyword.storage (#match? @keyword.storage "^(load-supplies|power-factor|data-margin|port-pixels|design-for|efficiency|frame-rate|lead-limit|link-limit|load-fuses|conductor|converter|gap-limit|port-fuse|tolerance|universes|box-rise|accepts|carries|contact|leakage|network|outline|outputs|refresh|voltage|adjust|anchor|copies|derate|drives|height|inrush|matrix|output|panels|season|source|spares|string|cable|chain|draws|droop|green|joint|least|logic|ports|power|price|rated|slack|slots|white|arch|blue|cord|data|ends|guys|idle|lead|link|null|plug|ring|sail|scan|size|star|tree|wind|wire|air|cut|dmx|gap|red|set|tap)$"))

((keyword) @keyword . (word) @keyword.storage . (word)? @type
  (#eq? @keyword "part") (#match? @keyword.storage "^(controller|connector|receiver|supply|cable|flood|panel|pixel)$"))

(line (word) @keyword.operator (#match? @keyword.operator "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|radius|ribbon|above|along|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

([(keyword) (word) (reference) (percent) (text) (date)] @_before . (word) @keyword.operator
  (#not-eq? @_before "part") (#match? @keyword.operator "^(pixels|supply|cable)$"))

((keyword) @_keyword . (word) @namespace
  (#match? @_keyword "^(place)$") (#not-match? @namespace "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|pixels|radius|ribbon|supply|above|along|cable|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

((keyword) @_keyword . (word) @variable
  (#match? @_keyword "^(controller|receiver|circuit|supply|board|flood|bond|feed|mast|run)$") (#not-match? @variable "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|pixels|radius|ribbon|supply|above|along|cable|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

((keyword) @_keyword . (word) @type
  (#match? @_keyword "^(prop)$") (#not-match? @type "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|pixels|radius|ribbon|supply|above|along|cable|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

((keyword) @_keyword . (word) @property
  (#match? @_keyword "^(outline|copies|matrix|panels|string|arch|ring|star|tree)$") (#not-match? @property "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|pixels|radius|ribbon|supply|above|along|cable|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

(reference . (word) @variable)

(member [(word) (number)] @property)

([(keyword) (word) (reference) (number)] @_way . (_) . (word) @_lead . (word) @variable
  (#eq? @_lead "to") (#not-match? @_way "^(along|route|to)$"))

((keyword) @_keyword . (word) @_lead . (word) @variable
  (#eq? @_lead "supply") (#match? @_keyword "^(expect)$"))

((word) @_lead . (word) @namespace (#match? @_lead "^(at)$") (#not-match? @namespace "^(least|most)$"))

((word) @_lead . (word) @type (#match? @_lead "^(through|cord|with|of)$"))

((word) @_lead . (word) @variable (#match? @_lead "^(circuit|feed|from|on)$"))

((keyword) @_keyword . (word) @variable
  (#match? @_keyword "^(measured|expect|tap)$") (#not-match? @variable "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|pixels|radius|ribbon|supply|above|along|cable|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

((keyword) @_keyword . (word) @type
  (#match? @_keyword "^(ends|plug)$") (#not-match? @type "^(residual-current|synchronised|copper-clad|connectors|continuous|everywhere|serpentine|extension|last-year|shortened|threshold|box-rise|resistor|straight|supplies|universe|because|circuit|clocked|devices|lockout|spacing|through|centre|no-tap|pixels|radius|ribbon|supply|above|along|cable|every|fuses|limit|price|rated|reset|route|split|start|under|cold|cord|dark|drag|feed|from|fuse|knee|load|slot|trip|with|end|for|gap|at|of|on|to|x)$"))

([(keyword) (word)] @_lead . (word) @namespace . (word) @_to . (word) @namespace
  (#match? @_lead "^(along|route)$") (#eq? @_to "to"))

([(keyword) (word)] @_lead . (word) @namespace . (word) @_to . (word) @namespace . (word) @_on . (word) @namespace
  (#match? @_lead "^(along|route)$") (#eq? @_to "to") (#eq? @_on "to"))
