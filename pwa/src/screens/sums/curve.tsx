// A curve of the gauge over time. Lines differ by stroke and marks, not by colour alone.
import type { Curve, Line } from "../../understand/sums";

const WIDE = 640;
const HIGH = 380;
const LEFT = 70;
const FOOT = 56;
const ROOM = 20;
const TOP = 44;

/** A step of 1, 2 or 5 times a power of ten that parts `span` into about four. */
function stepFor(span: number): number {
  const raw = span / 4;
  const power = 10 ** Math.floor(Math.log10(raw));
  return power * ([1, 2, 5].find((each) => each * power >= raw) ?? 10);
}

interface Scale {
  from: number;
  to: number;
  ticks: number[];
}

function scale(values: readonly number[]): Scale {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const step = stepFor(high - low || Math.abs(high) || 1);
  const from = Math.floor(low / step) * step;
  const to = Math.ceil(high / step) * step || step;
  return { from, to, ticks: Array.from({ length: Math.round((to - from) / step) + 1 }, (_, at) => Number((from + at * step).toPrecision(6))) };
}

/** A scale that ends where the curve ends, not at the next round number. */
const within = (found: Scale, last: number): Scale => ({ ...found, to: last, ticks: found.ticks.filter((tick) => tick <= last) });

export function Drawn({ curve }: { curve: Curve }) {
  const points = curve.lines.flatMap((line) => line.points.map(([time, up]) => [Number(time), Number(up)] as const));
  const across = points.map(([value]) => value);
  const wide = within(scale(across), Math.max(...across));
  const high = scale(points.map(([, up]) => up));
  const x = (value: number): number => LEFT + ((value - wide.from) / (wide.to - wide.from || 1)) * (WIDE - LEFT - ROOM);
  const y = (value: number): number => TOP + ((high.to - value) / (high.to - high.from || 1)) * (HIGH - FOOT - TOP);
  const path = (line: Line): string => line.points.map(([time, up], at) => `${at ? "L" : "M"}${x(Number(time)).toFixed(1)} ${y(Number(up)).toFixed(1)}`).join("");
  return (
    <figure class="curve">
      <svg viewBox={`0 0 ${WIDE} ${HIGH}`} role="img" aria-label={heard(curve)}>
        {high.ticks.map((tick) => (
          <g key={`y${tick}`}>
            <line class="rule" x1={LEFT} x2={WIDE - ROOM} y1={y(tick)} y2={y(tick)} />
            <text x={LEFT - 10} y={y(tick) + 7} text-anchor="end">{tick}</text>
          </g>
        ))}
        {wide.ticks.map((tick) => (
          <g key={`x${tick}`}>
            <line class="rule" x1={x(tick)} x2={x(tick)} y1={TOP} y2={HIGH - FOOT} />
            <text x={x(tick)} y={HIGH - FOOT + 26} text-anchor="middle">{tick}</text>
          </g>
        ))}
        <text class="unit" x={WIDE - ROOM} y={HIGH - 4} text-anchor="end">{curve.across}</text>
        <text class="unit" x={LEFT - 10} y={22} text-anchor="end">{curve.up}</text>
        {curve.lines.map((line) => (
          <g key={line.name}>
            <path class={`drawn ${line.drawn}`} d={path(line)} />
            {line.drawn === "read" && line.points.map(([time, up]) => <circle key={time} class="mark" cx={x(Number(time))} cy={y(Number(up))} r="8" />)}
          </g>
        ))}
      </svg>
      <figcaption>
        {curve.lines.map((line) => (
          <span key={line.name} class="key">
            <svg viewBox="0 0 48 16" aria-hidden="true"><path class={`drawn ${line.drawn}`} d="M2 8L46 8" />{line.drawn === "read" && <circle class="mark" cx="24" cy="8" r="6" />}</svg>
            {line.name}
          </span>
        ))}
      </figcaption>
    </figure>
  );
}

function heard(curve: Curve): string {
  const told = curve.lines.map((line) => {
    const [first, last] = [line.points[0], line.points.at(-1)];
    return `${line.name}: from ${first?.[1]} ${curve.up} at ${first?.[0]} ${curve.across} to ${short(last?.[1])} ${curve.up} at ${short(last?.[0])} ${curve.across}`;
  });
  return told.join("; ");
}

const short = (text: string | undefined): string => String(Number(Number(text).toPrecision(4)));
