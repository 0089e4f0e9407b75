// The motion series of a clip: what overlay and plots are drawn from. Its contents are told in service/jobs/series.py.

import { ask } from "./api";
import { readNpz, type NpyArray } from "./npz";

export interface Angle {
  value: Float64Array;
  u95: Float64Array;
}

export interface Series {
  /** When each frame is shown, seconds on the clip's clock. */
  time: Float64Array;
  /** 1 where the athlete was seen. */
  present: Float64Array;
  /** The angle whose turning makes a rep; empty where the movement has none. */
  driving: string;
  /** `body` or `lean`. */
  tilt: string;
  /** Why this view shows no angles; empty where it does. */
  refusal: string;
  angles: Map<string, Angle>;
  jointNames: string[];
  /** x and y of a joint at a frame, as shares of the picture's width and height. */
  joint(frame: number, joint: number): [number, number];
  /** The two ends of the body line at a frame, and of what its angle is taken from. */
  line(frame: number): [[number, number], [number, number]];
  level(frame: number): [[number, number], [number, number]];
}

/** Read the series of a clip. Throws an ApiError where there is none. */
export async function loadSeries(clipId: string): Promise<Series> {
  const response = await ask(`/clips/${encodeURIComponent(clipId)}/series`);
  return seriesOf(await readNpz(await response.arrayBuffer()));
}

function seriesOf(arrays: Map<string, NpyArray>): Series {
  const array = (name: string) => {
    const found = arrays.get(name);
    if (found === undefined) throw new Error(`the series has no ${name}`);
    return found;
  };
  const text = (name: string) => array(name).texts[0] ?? "";
  const names = [...arrays.keys()].filter((name) => name.endsWith(".value")).map((name) => name.slice(0, -".value".length));
  const [joints, line, level] = [array("joints"), array("line"), array("level")];
  const point = ({ shape, values }: NpyArray, frame: number, i: number): [number, number] => {
    const at = 2 * (frame * (shape[1] ?? 0) + i);
    return [values[at] ?? NaN, values[at + 1] ?? NaN];
  };
  return {
    time: array("time").values,
    present: array("present").values,
    driving: text("driving"),
    tilt: text("tilt"),
    refusal: text("refusal"),
    angles: new Map(names.map((name) => [name, { value: array(`${name}.value`).values, u95: array(`${name}.u95`).values }])),
    jointNames: array("joint_names").texts,
    joint: (frame, i) => point(joints, frame, i),
    line: (frame) => [point(line, frame, 0), point(line, frame, 1)],
    level: (frame) => [point(level, frame, 0), point(level, frame, 1)],
  };
}

/** The last frame that is shown at a moment: the one whose time is not after it. */
export function frameAt(times: Float64Array, moment: number): number {
  let [low, high] = [0, times.length - 1];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((times[middle] ?? Infinity) <= moment) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** How fast an angle turns at each frame, by the frames' own times. */
export function speedOf(time: Float64Array, value: Float64Array): Float64Array {
  return Float64Array.from(value, (_, i) => {
    const [before, after] = [Math.max(0, i - 1), Math.min(value.length - 1, i + 1)];
    return ((value[after] ?? NaN) - (value[before] ?? NaN)) / ((time[after] ?? NaN) - (time[before] ?? NaN));
  });
}
