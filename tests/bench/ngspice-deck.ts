/** A circuit as a deck for the ngspice program, every pixel written out; all loads must share one model at scale 1. */
import { closeSync, openSync, writeSync } from 'node:fs';
import type { Circuit, LoadModel } from '#server/electrics/circuit.ts';
import { flatten } from './flatten.ts';

/** Writes the deck and has the program print its own time for the analysis and the volts across one load. */
export function writeDeck(path: string, circuit: Circuit): void {
  const file = openSync(path, 'w');
  const flat = flatten(circuit);
  const model = circuit.stretches[0]!.model;
  const reference = circuit.sources[0]!.negative;
  const name = (node: number) => (node === reference ? '0' : `n${node}`);
  let lines: string[] = ['display', ...curveFunctions(model)];
  const put = (line: string) => {
    lines.push(line);
    if (lines.length < 10_000) return;
    writeSync(file, `${lines.join('\n')}\n`);
    lines = [];
  };
  flat.resistorOhms.forEach((ohms, i) => {
    put(`r${i} ${name(flat.resistorEnds[2 * i]!)} ${name(flat.resistorEnds[2 * i + 1]!)} ${ohms}`);
  });
  circuit.sources.forEach(({ positive, negative, volts, ohms }, i) => {
    // None of them is near its limit or turned off here: a plain voltage behind its resistance.
    put(`v${i} s${i} ${name(negative)} ${volts}`);
    put(`rs${i} s${i} ${name(positive)} ${ohms}`);
  });
  flat.loadScale.forEach((_, i) => {
    const [p, n] = [name(flat.loadEnds[2 * i]!), name(flat.loadEnds[2 * i + 1]!)];
    put(`b${i} ${p} ${n} i=amps(v(${p},${n}))`);
  });
  put('.options pivrel=0.9 reltol=1e-6 abstol=1e-9 vntol=1e-8 noacct');
  put('.control');
  put('op');
  put('rusage time');
  const probe = flat.loadScale.length - 1;
  const [p, n] = [name(flat.loadEnds[2 * probe]!), name(flat.loadEnds[2 * probe + 1]!)];
  put(`print v(${p}) v(${n})`);
  put('quit');
  put('.endc');
  put('.end');
  writeSync(file, `${lines.join('\n')}\n`);
  closeSync(file);
}

function curveFunctions(model: LoadModel): string[] {
  const { quiescentAmps, quiescentVolts, channels } = model;
  const knees = channels.map((channel, i) => {
    if (channel.kind !== 'regulated') throw new Error('only regulated channels here');
    const { amps, zeroVolts, kneeVolts } = channel;
    const t = `((u-${zeroVolts})/${(kneeVolts - zeroVolts).toFixed(12)})`;
    return `.func k${i}(u) {u<${zeroVolts} ? 0 : (u>${kneeVolts} ? ${amps} : ${amps}*${t}*${t}*(3-2*${t}))}`;
  });
  const sum = channels.map((_, i) => `k${i}(u)`).join('+');
  const quiescent = `(u<0 ? 0 : (u>${quiescentVolts} ? ${quiescentAmps} : ${quiescentAmps}*u/${quiescentVolts}))`;
  return [...knees, `.func amps(u) {${sum}+${quiescent}}`];
}
