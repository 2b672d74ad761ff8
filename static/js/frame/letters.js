// Nothing of a page is seen in other letters than its own, or it would jump when they come.
// A script that the page waits for, not a module: it must speak before the first is drawn.
{
  const LONGEST_MS = 2000; // Then rather other letters, and a jump, than an empty page.
  const FACE = '1em "Source Sans 3"';
  const root = document.documentElement;
  if (!document.fonts.check(FACE)) {
    root.toggleAttribute("data-lettering", true);
    const show = () => root.toggleAttribute("data-lettering", false);
    document.fonts.load(FACE).then(show, show);
    setTimeout(show, LONGEST_MS);
  }
}
