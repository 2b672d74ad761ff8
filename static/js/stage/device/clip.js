// A clip that plays: on plain http the only thing by which a page may keep a screen awake. Some
// devices heed it and some do not, so it is a try and is called one. The browser makes the clip
// itself, of a picture that blinks and a sound that is silent: many take notice of both only.

const BLINK_MS = 1000;

export class Clip {
  #video = null;
  #silence = null;
  #timer = null;

  get plays() {
    return this.#video !== null && !this.#video.paused;
  }

  /** Call it from a press. */
  async play() {
    try {
      this.#video ??= this.#make();
      await this.#video.play();
    } catch {
      this.stop(); // The browser will not; the sign goes on saying that the screen may sleep.
    }
  }

  stop() {
    clearInterval(this.#timer);
    for (const track of this.#video?.srcObject?.getTracks() ?? []) track.stop();
    this.#video?.remove();
    this.#video = null;
    // A browser gives a page only a few of these.
    this.#silence?.close();
    this.#silence = null;
  }

  #make() {
    const picture = document.createElement("canvas");
    const stream = picture.captureStream(1);
    this.#silence = new AudioContext();
    for (const track of silenceOf(this.#silence).getAudioTracks()) stream.addTrack(track);
    this.#blink(picture.getContext("2d"));
    const video = document.createElement("video");
    video.className = "clip";
    video.playsInline = true;
    video.setAttribute("aria-hidden", "true");
    video.tabIndex = -1;
    video.srcObject = stream;
    document.body.append(video);
    return video;
  }

  #blink(pen) {
    let isBright = false;
    const draw = () => {
      isBright = !isBright;
      pen.fillStyle = isBright ? "#111" : "#000";
      pen.fillRect(0, 0, 300, 150);
    };
    draw();
    this.#timer = setInterval(draw, BLINK_MS);
  }
}

function silenceOf(context) {
  const target = context.createMediaStreamDestination();
  const oscillator = new OscillatorNode(context);
  oscillator.connect(new GainNode(context, { gain: 0 })).connect(target);
  oscillator.start();
  return target.stream;
}
