/** Small files that have broken readers of text before, by name. Large ones are made here. */
export const PATHOLOGICAL: Readonly<Record<string, string>> = {
  empty: '',
  'one blank': ' ',
  'one line end': '\n',
  'line ends of all kinds': 'place a\r\nplace b\rplace c\n\rplace d\r\r\nplace e',
  'only carriage returns': 'place a\rplace b\rrun c {\r}\r',
  'byte order mark': '\ufeffplace shed\n',
  'byte order mark inside': 'place \ufeffshed\n',
  'two byte order marks': '\ufeff\ufeffplan "x"\n',
  'NUL at the start': '\0place shed\n',
  'NUL in a name': 'place sh\0ed\n',
  'NUL in a text': 'place shed "a\0b"\n',
  'all control characters': Array.from({ length: 32 }, (_, at) => `place a${String.fromCharCode(at)}b\n`).join(''),
  'delete and C1': 'place a\u007f\u0080\u009f\n',
  'high surrogate alone': 'place a\ud800\n',
  'low surrogate alone': 'place \udc00a\n',
  'surrogates the wrong way round': 'place "\udc00\ud800"\n',
  'surrogate at the end of a text': 'place shed "x\ud83c',
  'emoji names': 'place \u{1f384}\nplace \u{1f468}\u200d\u{1f469}\u200d\u{1f467}\n',
  'emoji labels': 'place tree "\u{1f384}\u{1f1ec}\u{1f1e7}"\n',
  'combining marks': 'place a\u0301\nplace \u00e1\n',
  'a thousand combining marks': `place a${'\u0301'.repeat(1000)}\n`,
  'full width': 'ｐｌａｃｅ ｓｈｅｄ\nplace shed １２ ｍ\n',
  'non-breaking blanks': 'place\u00a0shed\u00a0"x"\n',
  'exotic blanks': 'place\u2003shed\u3000"x"\u2028place roof\u2029',
  'right to left': 'place \u05d2\u05d2 "\u05e9\u05dc\u05d5\u05dd"\n',
  'direction marks': 'place shed\u202e\nplace \u2066roof\u2069 "\u202dx"  # \u202e\n',
  'invisible marks': 'pla\u200bce shed\nplace\u2060 roof\nplace x\u00ad\n',
  'tag characters': 'place shed\u{e0041}\u{e0042}\n',
  'mixed scripts': 'place r\u043eof\nplace \u0391ttic\n',
  'private use and non-characters': 'place \ue000\uffff\u{10ffff}\n',
  'only comments': '# one\n## two\n###\n#',
  'only a comment without line end': '# x',
  'comment of a thousand signs': `${'#'.repeat(1000)}\n`,
  'description of nothing': '## about\n\n## nothing\n',
  'unclosed text': 'place shed "never\nplace roof\n',
  'unclosed text at the end': 'place shed "',
  'unclosed block': 'run a {\n',
  'unclosed blocks': 'run a {\nprop b {\nrun c {\n',
  'unclosed bracket': 'feed a to b[\n',
  'unclosed parenthesis': 'feed a to b(\nfeed c to d(1\n',
  'closing only': '}\n}\n]\n)\n',
  'opening only': '{\n[\n(\n"\n',
  'all on one line': 'run a { lead 1 m } run b { } place c',
  'a thousand opening braces': `run a ${'{'.repeat(1000)}\n`,
  'a thousand opening braces on lines': '{\n'.repeat(1000),
  'a thousand closing braces': '}\n'.repeat(1000),
  'a thousand dots': `feed a to b${'.c'.repeat(1000)}\n`,
  'a thousand brackets': `feed a to b${'[1]'.repeat(1000)}\n`,
  'dots alone': '. .. ...\nfeed a to .b\nfeed a to b.\n',
  'huge numbers': `route a to b ${'9'.repeat(400)} m\nrun a { string ${'9'.repeat(400)} px }\n`,
  'tiny numbers': `route a to b 0.${'0'.repeat(400)}1 m\n`,
  'numbers at the edges': 'route a to b 9007199254740993 m\nroute c to d 1.7976931348623157 km\nroute a to b -0 m\n',
  'exponents and signs': 'route a to b 1e9 m\nroute a to b +1 m\nroute a to b --1 m\nroute a to b 0x10 m\n',
  'commas and points': 'route a to b 1,000.5 m\nroute a to b 1.2.3 m\nroute a to b .5 m\nroute a to b 5. m\n',
  'pixel of a huge number': `feed f to a[${'9'.repeat(400)}] 1 m\nrun a { }\n`,
  'days that are none': 'measured a[1] 5 V on 2026-02-30\nmeasured a[1] 5 V on 9999-99-99\n',
  'zero everything': 'part pixel p {\n voltage 0 V\n red 0 A\n wire 0 mm2\n}\nroute a to b 0 m limit 0 cables\n',
  'line of one megabyte': `place shed "${'x'.repeat(1_000_000)}"\n`,
  'word of one megabyte': `place ${'x'.repeat(1_000_000)}\n`,
  'megabyte of blanks': `place${' '.repeat(1_000_000)}shed\n`,
  'megabyte of digits': `route a to b ${'1'.repeat(1_000_000)} m\n`,
  'forty thousand empty lines': '\n'.repeat(40_000),
  'a hundred thousand errors': '? '.repeat(100_000),
  'forty thousand wrong lines': 'nonsense\n'.repeat(40_000),
  'ten thousand equal names': 'place a\n'.repeat(10_000),
  'uses itself': 'use "plan.festoon"\n',
  'uses itself by other ways': 'use "./plan.festoon"\nuse "x/../plan.festoon"\nuse "PLAN.festoon"\n',
  'uses what it must not':
    'use "../../etc/passwd"\nuse "/etc/passwd"\nuse "file:///etc/passwd"\nuse "https://example.org/x"\n',
  'uses strange paths': 'use ""\nuse "."\nuse "%"\nuse "%2e%2e/x"\nuse "a\\b"\nuse "con"\nuse "\u202e"\n',
  'place to itself': 'place a\nroute a to a 1 m\nroute a to b\nroute to to to\n',
  'keywords as names': 'place place\nrun run from from.1 { lead lead of of }\nsupply supply of of\n',
  'prop of itself': 'prop a {\n copies 2 of a\n}\nrun r from b.1 { copies 10000 of a }\n',
  'props in a circle': 'prop a { copies 9 of b }\nprop b { copies 9 of a }\nrun r { copies 9 of a }\n',
};

/** Names that objects have by birth, in every place where a name may stand. */
export const INHERITED = ['__proto__', 'constructor', 'toString', 'hasOwnProperty', 'valueOf', 'prototype'] as const;

export const inherited = (name: string): string => `plan "${name}"
place ${name} "${name}"
route ${name} to ${name}-b 1 m
part pixel ${name} { voltage 12 V
 red 20 mA
 wire 18 AWG
 ${name} 5 V
}
part cable ${name} { conductor 18 AWG
 carries ${name} V+
}
part supply ${name} { voltage 12 V
 rated 5 A
}
part controller ${name} { ports 4 }
circuit ${name} 15 A at 120 V
supply ${name} of ${name} at ${name} on ${name} { output 1 fuse 5 A }
controller ${name} of ${name} at ${name} from ${name}.1
prop ${name} { string ${name} 5 px of ${name} every 50 mm }
run ${name} from ${name}.1 { string ${name} 5 px of ${name} every 50 mm
 copies 2 of ${name}
}
feed ${name} from ${name}.1 to ${name}.${name} 1 m of ${name}
bond ${name} from ${name} to ${name} 1 m of ${name}
measured ${name}[1] 11 V under ${name}
expect ${name} at least 5 V
accept ${name} of ${name} because "${name}"
${name} ${name} ${name}
`;
