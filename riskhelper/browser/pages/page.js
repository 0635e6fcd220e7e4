// The keys go to the interface as soon as it is there; nobody has to touch it first.
new MutationObserver((_, watching) => {
  const keys = document.querySelector(".xterm-helper-textarea");
  if (keys && document.body.classList.contains("-first-byte")) {
    keys.focus();
    watching.disconnect();
  }
}).observe(document.documentElement, { subtree: true, attributes: true, childList: true });
