/** The command line's entry. For now it knows no command. */
process.stderr.write('festoon: no command yet\n');
process.exitCode = 2;
