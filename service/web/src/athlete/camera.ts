// The rear camera: shows what it sees, and records it without sound.

/** What recorders can write, the best first: MP4 plays everywhere. */
const KINDS = [
  "video/mp4;codecs=avc1.640028",
  "video/mp4;codecs=avc1.42E01F",
  "video/mp4",
  "video/webm;codecs=vp9",
  "video/webm;codecs=vp8",
  "video/webm",
];
const PICTURE = { width: { ideal: 1280 }, height: { ideal: 720 }, frameRate: { ideal: 30, max: 60 } };
const BITS = 5_000_000;
/** Standard uncertainty of when the first frame was taken, seconds: with the camera's own time, and without. */
const U_CAPTURED = 0.05;
const U_SHOWN = 0.15;

export interface Recorded {
  clip: Blob;
  /** The first frame and the end, seconds on the clock of `performance.now()`. */
  begun: number;
  u: number;
  ended: number;
  filmed: Date;
}

export class Camera {
  private recorder: MediaRecorder | null = null;

  private constructor(
    private readonly preview: HTMLVideoElement,
    private readonly stream: MediaStream,
  ) {}

  /** Whether this browser can film at all. */
  static get possible(): boolean {
    return !!navigator.mediaDevices?.getUserMedia && typeof MediaRecorder !== "undefined";
  }

  /** Ask for the camera and show what it sees. @throws DOMException where it is refused or missing */
  static async open(preview: HTMLVideoElement): Promise<Camera> {
    const stream = await navigator.mediaDevices.getUserMedia({
      audio: false,
      video: { ...PICTURE, facingMode: { ideal: "environment" } },
    });
    preview.srcObject = stream;
    await preview.play();
    return new Camera(preview, stream);
  }

  /** Whether it looks away from the screen, as the sensor track takes for granted. */
  get rear(): boolean {
    return this.stream.getVideoTracks()[0]?.getSettings().facingMode !== "user";
  }

  /** Record until `finish`; gives what was recorded. */
  record(): Promise<Recorded> {
    const kind = KINDS.find((each) => MediaRecorder.isTypeSupported(each));
    const recorder = new MediaRecorder(this.stream, { videoBitsPerSecond: BITS, ...(kind ? { mimeType: kind } : {}) });
    this.recorder = recorder;
    const pieces: Blob[] = [];
    const filmed = new Date();
    let [begun, u] = [performance.now() / 1000, U_SHOWN];
    recorder.ondataavailable = ({ data }) => pieces.push(data);
    recorder.onstart = () => {
      begun = performance.now() / 1000;
      this.preview.requestVideoFrameCallback?.((now, { captureTime }) => {
        begun = (captureTime ?? now) / 1000;
        u = captureTime === undefined ? U_SHOWN : U_CAPTURED;
      });
    };
    return new Promise((resolve, reject) => {
      recorder.onerror = () => reject(new Error("the recorder failed"));
      recorder.onstop = () => {
        const clip = new Blob(pieces, { type: recorder.mimeType.split(";")[0] ?? "" });
        resolve({ clip, begun, u, ended: performance.now() / 1000, filmed });
      };
      recorder.start(1000);
    });
  }

  finish(): void {
    if (this.recorder?.state === "recording") this.recorder.stop();
  }

  close(): void {
    this.stream.getTracks().forEach((track) => track.stop());
    this.preview.srcObject = null;
  }
}
