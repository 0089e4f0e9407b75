// Roll and pitch of the phone while it films, as docs/sensor.md defines them.

/** Degrees, of the picture as a viewer sees it. */
export interface Tilt {
  roll: number;
  pitch: number;
}

interface Sample extends Tilt {
  time: number;
}

/** Seconds between two samples. */
const EVERY = 0.04;
/** The standard uncertainty of what a phone's sensor tells, degrees (common practice, no source). */
const SENSOR_U = 0.5;
/** Seconds without a sample, and at the clip's ends, that a track may have; docs/sensor.md allows two and one. */
const LONGEST_GAP = 1.8;
const AT_ENDS = 0.9;
const DEGREES = 180 / Math.PI;

/**
 * Roll and pitch from the orientation of the phone and that of its screen.
 *
 * The third row of the rotation matrix of Device Orientation (W3C, its appendix) is "up" in the phone's frame: x to the right of
 * the upright phone, y to its top, z out of its screen. Gravity is against it; the rear lens looks along -z; the picture is upright
 * as the screen is, which is turned by `angle` against the upright phone.
 */
export function tiltOf(beta: number, gamma: number, angle: number): Tilt {
  const [b, g, a] = [beta / DEGREES, gamma / DEGREES, angle / DEGREES];
  const x = Math.cos(b) * Math.sin(g);
  const y = -Math.sin(b);
  const z = -Math.cos(b) * Math.cos(g);
  const right = x * Math.cos(a) - y * Math.sin(a);
  const down = -x * Math.sin(a) - y * Math.cos(a);
  return { roll: Math.atan2(right, down) * DEGREES, pitch: Math.asin(Math.max(-1, Math.min(1, z))) * DEGREES };
}

/** Ask to be told how the phone is held. To be called in a tap: iOS asks its user. */
export async function mayTellTilt(): Promise<boolean> {
  const asking = globalThis.DeviceOrientationEvent as unknown as { requestPermission?: () => Promise<string> } | undefined;
  if (!asking) return false;
  try {
    return !asking.requestPermission || (await asking.requestPermission()) === "granted";
  } catch {
    return false;
  }
}

/** Listens to the sensor, and records while the camera does. */
export class TiltRecorder {
  latest: Tilt | null = null;
  private samples: Sample[] = [];
  private timer = 0;

  constructor(told: (tilt: Tilt) => void) {
    addEventListener("deviceorientation", (event) => {
      if (event.beta === null || event.gamma === null) return;
      this.latest = tiltOf(event.beta, event.gamma, screen.orientation?.angle ?? 0);
      told(this.latest);
    });
  }

  /** A phone that stands still tells nothing new, so the last that it told is taken at every moment. */
  start(): void {
    this.samples = [];
    this.sample();
    this.timer = setInterval(() => this.sample(), EVERY * 1000);
  }

  /**
   * The track; null where it does not cover the clip.
   *
   * @param begun the clip's first frame on the clock of `performance.now()`, seconds
   * @param u standard uncertainty of that, seconds
   * @param ended the clip's end on the same clock
   */
  stop(begun: number, u: number, ended: number): object | null {
    clearInterval(this.timer);
    this.sample();
    const times = this.samples.map((sample) => sample.time);
    const gaps = [0, ...times.slice(1).map((time, n) => time - (times[n] ?? 0))];
    const covered = (times[0] ?? Infinity) - begun < AT_ENDS && ended - (times.at(-1) ?? -Infinity) < AT_ENDS;
    if (!covered || Math.max(...gaps) > LONGEST_GAP) return null;
    return { document: "plumbrep.sensor/1", clock: { offset: round(begun), u }, u: SENSOR_U, samples: this.samples };
  }

  private sample(): void {
    if (!this.latest) return;
    const time = round(performance.now() / 1000);
    if (time <= (this.samples.at(-1)?.time ?? -Infinity)) return;
    this.samples.push({ time, roll: round(this.latest.roll), pitch: round(this.latest.pitch) });
  }
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000;
}
