import { sure } from '#grammar/sure.ts';
import type { LoadChannel, LoadModel } from '../electrics/circuit.ts';
import { ownerOf } from './outputs.ts';
import { type LengthUnits, metres } from './texts.ts';
import type { ResistorRole } from './to-circuit.ts';

/** A number without a tail of rounding; twelve digits are a thousand times finer than what the simulator resolves. */
export function figure(value: number): string {
  return String(Number(value.toPrecision(12)));
}

/** The current of a load at voltage u, as circuit.ts defines it, in the simulator's words. */
export function lawExpression({ quiescentAmps, quiescentVolts, channels }: LoadModel, scale: number): string {
  const lit = channels.map(channelExpression).map((text) => `(${text})`);
  const terms = lit.length === 0 ? [] : [scale === 1 ? lit.join('+') : `${figure(scale)}*(${lit.join('+')})`];
  if (quiescentAmps > 0) {
    const [amps, full] = [figure(quiescentAmps), figure(quiescentVolts)];
    terms.push(`(u < 0 ? 0 : (u > ${full} ? ${amps} : ${amps}*u/${full}))`);
  }
  return terms.length === 0 ? '0' : terms.join('+');
}

function channelExpression(channel: LoadChannel): string {
  switch (channel.kind) {
    case 'regulated': {
      const [amps, knee, zero] = [figure(channel.amps), figure(channel.kneeVolts), figure(channel.zeroVolts)];
      const t = `((u-${zero})/(${knee}-${zero}))`;
      return `u < ${zero} ? 0 : (u > ${knee} ? ${amps} : ${amps}*${t}*${t}*(3-2*${t}))`;
    }
    case 'resistive': {
      const forward = figure(channel.forwardVolts);
      return `u < ${forward} ? 0 : (u-${forward})/${figure(channel.ohms)}`;
    }
    case 'converter': {
      const [watts, lockout, off] = [
        figure(channel.watts),
        figure(channel.lockoutVolts),
        figure(0.9 * channel.lockoutVolts),
      ];
      const ramp = `${watts}/${lockout}*(u-${off})/(${lockout}-${off})`;
      return `u < ${off} ? 0 : (u < ${lockout} ? ${ramp} : ${watts}/u)`;
    }
  }
}

/** Name and comment of a resistor. */
export function describeResistor(role: ResistorRole, units: LengthUnits): { name: string; text: string } {
  const rail = 'rail' in role ? (role.rail === 'V+' ? 'p' : 'g') : '';
  switch (role.kind) {
    case 'fuse': {
      const { number, fuse } = role.output;
      const owner = ownerOf(role.output).name;
      return { name: `fuse ${owner} ${number}`, text: `${sure(fuse).amps} A fuse of ${owner}.${number}` };
    }
    case 'board': {
      const { name, cable, length, parallel } = role.board;
      const doubled = parallel > 1 ? ` x ${parallel}` : '';
      return {
        name: `${name} cable ${rail}`,
        text: `cable to board ${name}, ${role.rail}: ${metres(length, units)} of ${cable.name}${doubled}`,
      };
    }
    case 'port-fuse':
      return { name: `${role.run.name} port fuse`, text: `fuse of the port of ${role.run.name}` };
    case 'lead':
      return {
        name: `${role.run.name} lead ${rail}`,
        text: `lead of ${role.run.name}, ${role.rail}: ${metres(role.piece.length, units)} of ${role.piece.cable.name}`,
      };
    case 'gap': {
      const cable = role.piece.cable?.name ?? "the string's own wire";
      return {
        name: `${role.run.name} gap ${rail}`,
        text: `gap of ${role.run.name}, ${role.rail}: ${metres(role.piece.length, units)} of ${cable}`,
      };
    }
    case 'contact':
      return {
        name: `${role.run.name} contact ${rail}`,
        text: `${role.connector.name} of ${role.run.name}, ${role.rail}, at pixels ${role.piece.first} to ${role.piece.first + role.piece.count - 1}`,
      };
    case 'data-plug':
      return {
        name: `${role.run.name} data plug ${role.piece.first}`,
        text: `ground of the data line at ${role.run.name} ${role.piece.first}`,
      };
    case 'feed': {
      const piece = role.feed.pieces[role.piece];
      const cable =
        piece?.kind === 'cable'
          ? `${metres(piece.length, units)} of ${piece.cable.name}${piece.parallel > 1 ? ` x ${piece.parallel}` : ''}`
          : '';
      return {
        name: `${role.feed.name} ${role.piece + 1} ${rail}`,
        text: `feed ${role.feed.name}, ${role.rail}: ${cable}`,
      };
    }
    case 'tap-contact': {
      const piece = role.feed.pieces[role.piece];
      const where = piece?.kind === 'tap' ? piece.tap.text : '';
      return {
        name: `${role.feed.name} tap ${role.piece + 1} ${rail}`,
        text: `tap of ${role.feed.name} at ${where}, ${role.rail}: ${role.connector?.name ?? 'a splice'}`,
      };
    }
    case 'link':
      return { name: `${role.controller.name} link`, text: `ground of the link to ${role.controller.name}` };
    case 'bond':
      return { name: role.bond.name, text: `bond ${role.bond.name}: ${role.bond.from.name} to ${role.bond.to.name}` };
  }
}
