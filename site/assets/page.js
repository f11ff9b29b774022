(()=>{"use strict";const prefersDark=window.matchMedia("(prefers-color-scheme: dark)");const library=new URL("vega.js",document.currentScript.src).href;const THEMES="charts/themes.js";const loading=new Map();function loaded(src){if(!loading.has(src)){loading.set(src,new Promise((resolve,reject)=>{const script=document.createElement("script");script.addEventListener("load",resolve);script.addEventListener("error",reject);script.src=src;document.head.append(script);}));}
return loading.get(src);}
async function specOf({area}){await Promise.all([library,THEMES,area.dataset.script].map(loaded));return window.chartSpecs[area.dataset.chart];}
function theme(){return window.chartThemes[prefersDark.matches?"dark":"light"];}
function options(){return{actions:false,ast:true,defaultStyle:false,renderer:"svg",tooltip:{disableDefaultStyle:true},config:theme(),};}
function chartIn(area){return{area,figure:area.closest("figure")??area,drawing:0,shown:null};}
async function draw(chart){const drawing=++chart.drawing;const spec=await specOf(chart).catch(()=>null);if(!spec||drawing!==chart.drawing)return;const host=document.createElement("div");host.className="chart-live";host.setAttribute("aria-hidden","true");chart.area.append(host);try{const result=await window.vegaEmbed(host,structuredClone(spec),options());if(drawing!==chart.drawing){result.finalize();host.remove();return;}
remove(chart.shown);chart.shown={host,result};chart.figure.classList.add("is-live");}catch{host.remove();if(!chart.shown)chart.figure.classList.add("is-still");}}
function remove(shown){if(!shown)return;shown.result.finalize();shown.host.remove();}
function whenNear(charts,act){if(!("IntersectionObserver"in window)){charts.forEach(act);return;}
const observer=new IntersectionObserver((entries)=>{for(const entry of entries.filter((each)=>each.isIntersecting)){observer.unobserve(entry.target);act(charts.find((chart)=>chart.area===entry.target));}},{rootMargin:"400px 0px"});charts.forEach((chart)=>observer.observe(chart.area));}
function placeTooltip(){const tooltip=document.createElement("div");tooltip.id="vg-tooltip-element";tooltip.setAttribute("aria-hidden","true");document.body.append(tooltip);document.addEventListener("keydown",(event)=>{if(event.key==="Escape")tooltip.classList.remove("visible");});}
async function loadLater(){for(const part of document.querySelectorAll("[data-later]")){for(const src of part.dataset.later.split(" "))await loaded(src);}}
function start(){const charts=[...document.querySelectorAll("[data-script]")].map(chartIn);placeTooltip();whenNear(charts,draw);prefersDark.addEventListener("change",()=>{charts.filter((chart)=>chart.drawing>0).forEach(draw);});}
window.addEventListener("load",()=>loadLater().catch(()=>{}));if(document.readyState==="loading")document.addEventListener("DOMContentLoaded",start);else start();})();
