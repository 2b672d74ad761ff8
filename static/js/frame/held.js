// Things of a drawing that are moved by hand: dragged by finger or mouse, or moved by arrow keys, where
// Enter saves, Escape takes it back, and leaving it saves too. One is held at a time. What its moves
// mean is said by the room, in a `way`:
//
//   grasp(thing)         what else is known of it while it is held
//   isTouch([x, y])      whether a pointer that went so far, in pixels, has only touched it
//   drag(held, by, event), step(held, [x, y], size)   it is moved, by a pointer or by a key
//   giveBack(held), save(held)                        it is let go of
//   isShut(), taken(held, event), isUnmoved(held), touched(thing)   where a room needs them

const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const LARGE_STEP = 5;

let held = null;
let back = null;

/** Lets each of the things be moved. */
export function letHold(things, way) {
  held = null;
  for (const thing of things) {
    thing.addEventListener("pointerdown", (event) => take(thing, way, event));
    thing.addEventListener("pointermove", (event) => drag(thing, way, event));
    thing.addEventListener("pointerup", (event) => drop(thing, way, event));
    thing.addEventListener("pointercancel", () => giveBack(way));
    thing.addEventListener("keydown", (event) => press(thing, way, event));
    thing.addEventListener("blur", () => held?.thing === thing && !held.pointer && save(way));
  }
}

/** Whether this is what is held, still. */
export function isHeld(one) {
  return held === one;
}

/** Whether a pointer holds something. */
export function isDragging() {
  return Boolean(held?.pointer);
}

/** Has the thing of this id take the focus again once the page is drawn anew. */
export function comeBackTo(id) {
  back = id;
}

/** Gives the focus to whatever was to have it again. */
export function comeBack(root) {
  if (back) root.getElementById(back)?.focus({ preventScroll: true });
  back = null;
}

function grasp(thing, way) {
  return { thing, ...way.grasp(thing) };
}

function take(thing, way, event) {
  if (event.button !== 0 || way.isShut?.()) return;
  held = grasp(thing, way);
  held.pointer = { id: event.pointerId, x: event.clientX, y: event.clientY, moved: false };
  way.taken?.(held, event);
  thing.setPointerCapture(event.pointerId);
}

function drag(thing, way, event) {
  if (held?.thing !== thing || held.pointer?.id !== event.pointerId) return;
  const by = [event.clientX - held.pointer.x, event.clientY - held.pointer.y];
  if (!held.pointer.moved && way.isTouch(by)) return;
  held.pointer.moved = true;
  thing.classList.add("held");
  way.drag(held, by, event);
}

function drop(thing, way, event) {
  if (held?.thing !== thing || held.pointer?.id !== event.pointerId) return;
  if (held.pointer.moved) return save(way);
  held = null;
  way.touched?.(thing);
}

function press(thing, way, event) {
  if (held?.pointer || event.ctrlKey || event.altKey || event.metaKey) return;
  const isMine = held?.thing === thing;
  if (event.key in STEPS) {
    event.preventDefault();
    if (!isMine) held = grasp(thing, way);
    thing.classList.add("held");
    way.step(held, STEPS[event.key], event.shiftKey ? LARGE_STEP : 1);
  } else if (event.key === "Enter" && (isMine || way.touched)) {
    event.preventDefault();
    if (isMine) save(way);
    else way.touched(thing);
  } else if (event.key === "Escape" && isMine) {
    // It would close what is open beside the drawing, too.
    event.stopPropagation();
    giveBack(way);
  }
}

function giveBack(way) {
  if (!held) return;
  const was = held;
  held = null;
  was.thing.classList.remove("held");
  way.giveBack(was);
}

function save(way) {
  if (way.isUnmoved?.(held)) return giveBack(way);
  const was = held;
  held = null;
  way.save(was);
}
