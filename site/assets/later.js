(()=>{"use strict";function loaded(src){return new Promise((resolve,reject)=>{const script=document.createElement("script");script.addEventListener("load",resolve);script.addEventListener("error",reject);script.src=src;document.head.append(script);});}
async function loadLater(){for(const part of document.querySelectorAll("[data-later]")){for(const src of part.dataset.later.split(" "))await loaded(src);}}
window.addEventListener("load",()=>loadLater().catch(()=>{}));})();
